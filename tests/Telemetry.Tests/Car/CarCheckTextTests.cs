using Telemetry.Car;

namespace Telemetry.Tests.Car;

public class CarCheckTextTests
{
    [Fact]
    public void A_small_car_file_is_explained_field_by_field()
    {
        const string Text = """
            name = "Small"

            [geometry]
            wheelbase = 2.8
            track_front = "1.5 m"
            track_rear = "1.5 m ± 2 mm"
            sprung_cg_behind_front_axle = "1.5 m"
            cg_height = "0.3 kg"
            role_centre_height_front = "10 mm"

            [mass]
            without_fuel = "600 kg ± 2 kg"
            unsprung_front = "60 kg"
            unsprung_rear = "70 kg ± 1 kg"

            [suspension.front]
            installation_ratio = 0.9
            damper_ratio = 0.8
            [suspension.rear]
            installation_ratio = { damper_travel = ["-20 mm", "0 mm", "40 mm"], ratio = [0.8, 0.79, 0.78] }
            damper_ratio = "0.8 ± 0.01"

            [channels]
            pushrod_load_fl = "P1"
            pushrod_load_fr = "P2"
            pushrod_load_rl = { name = "P3", unit = "kN", sign = -1 }
            speed = "V"

            [[components]]
            id = "A1"
            description = "Pushrod"
            corner = "RL"
            compression_limit = "40 kN"
            strut = { length = "400 mm", outer_diameter = "16 mm", wall = "1.2 mm", youngs_modulus = "205 GPa", yield_strength = "460 MPa" }
            fatigue = { line = { cycles = 1e6, range = "4 kN", slope = 5 } }
            """;

        // Written by hand from the rules in README.md, not from the program's output; 17196 N is the Johnson load of that tube:
        // A = 55.795 mm2, k = 5.2498 mm, slenderness 76.19.
        const string Expected = """
            car.toml cannot be used: 5 faults, 2 warnings.

            Faults
              car.toml, line 4, geometry.wheelbase: 2.8 has no unit. Write "2.8 m" if that is what is meant (allowed: m, mm, cm, um, km, in, ft, mi).
              car.toml, line 8, geometry.cg_height: "0.3 kg" is a mass; a length is needed. Write it in one of: m, mm, cm, um, km, in, ft, mi.
              car.toml, line 9, geometry.role_centre_height_front: is not a known name. Did you mean "roll_centre_height_front"?
              car.toml, line 11, mass.fuel_at_start: is missing. Add it: Fuel on board at the first sample of the log.
              car.toml, line 23, channels.pushrod_load_rr: is missing. All four load cells are needed; map it, such as pushrod_load_rr = "Name in the log".

            Warnings
              car.toml, line 6, geometry.track_rear: its uncertainty is not used in any answer. Leave it out, or keep it as a note.
              car.toml, line 33, components[1].compression_limit: 40000 N lies above the column allowable 17196 N (Johnson, slenderness 76.2). Check the strut's dimensions and the limit with its designer.

            Answers that this file has enough for
              yes  health of the log
                   better with channels.pushrod_load_fl.range (clipping is found from the data only)
                   better with channels.pushrod_load_fr.range (clipping is found from the data only)
                   better with channels.pushrod_load_rl.range (clipping is found from the data only)
              no   zero and drift of the load cells
                   needs channels.pushrod_load_rr
                   better with setup.corner_weight_fl (static loads are taken from mass and centre of gravity, both sides alike)
                   better with setup.corner_weight_fr (static loads are taken from mass and centre of gravity, both sides alike)
                   better with setup.corner_weight_rl (static loads are taken from mass and centre of gravity, both sides alike)
                   better with setup.corner_weight_rr (static loads are taken from mass and centre of gravity, both sides alike)
                   better with channels.cell_temperature_fl (drift is taken over time only)
                   better with channels.cell_temperature_fr (drift is taken over time only)
                   better with channels.cell_temperature_rl (drift is taken over time only)
                   better with channels.cell_temperature_rr (drift is taken over time only)
              no   wheel loads
                   needs channels.pushrod_load_rr, channels.damper_travel_rl, channels.damper_travel_rr
              no   contact-patch loads
            """;
        string[] lines = CarCheckText.Of(CarFile.CheckText(Text.ReplaceLineEndings("\n"), "car.toml")).Split('\n');
        string[] expected = Expected.ReplaceLineEndings("\n").Split('\n');
        Assert.Equal(expected, lines.Take(expected.Length));
        
        // The component's own load cell is mapped, so its life can be followed though others are missing.
        Assert.Contains("  yes  fatigue life, A1", lines);
        Assert.Contains("  no   shims", lines);
        Assert.Contains("       needs setup.ride_height_front, setup.ride_height_rear, shims.steps", lines);
    }

    [Fact]
    public void The_sample_car_is_told_in_one_line_an_answer()
    {
        string text = CarCheckText.Of(CarFile.CheckText(CarText.Sample, "car.toml"));
        Assert.Equal(
            """
            car.toml can be used: 0 faults, 0 warnings.

            Answers that this file has enough for
              yes  health of the log
              yes  zero and drift of the load cells
              yes  wheel loads
              yes  contact-patch loads
              yes  aero load and balance
              yes  aero load with the wind taken out
              yes  platform: ride heights, rake, third elements
              yes  kerb strikes
              yes  fatigue life, PR-FL-014
              yes  fatigue life, PR-FR-015
              yes  fatigue life, PR-RL-008
              yes  fatigue life, PR-RR-008
              yes  fatigue life, RK-FL-003
              yes  fatigue life, WB-RL-021
              yes  shims

            """.ReplaceLineEndings("\n"),
            text);
    }

    [Fact]
    public void A_file_that_is_not_there_has_a_fault_and_no_answers() =>
        Assert.Equal(
            "nowhere.toml cannot be used: 1 fault, 0 warnings.\n\nFaults\n  nowhere.toml: there is no such file. Check the path.\n",
            CarCheckText.Of(CarFile.Check("nowhere.toml")));
}
