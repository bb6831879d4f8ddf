using Telemetry.Car;

namespace Telemetry.Tests.Car;

/// <summary>Each kind of fault in a car file: one change to the sample, one fault, at the changed line, in words that name the field.</summary>
public class CarFaultTests
{
    private const string FirstLine = "line = { cycles = 2e6, range = \"5.2 kN\", slope = 5 }";
    private const string Wheelbase = "wheelbase = \"2.950 m ± 1 mm\"";

    /// <summary>What stands in the sample, what stands there instead, the field of the fault, what was found, what to do.</summary>
    public static TheoryData<string, string, string, string, string> Kinds => new()
    {
        // Units and numbers.
        { Wheelbase, "wheelbase = 2.95", "geometry.wheelbase", "2.95 has no unit.", "Write \"2.95 m\" if that is what is meant (allowed: m, mm, cm, um, km, in, ft, mi)." },
        { Wheelbase, "wheelbase = \"2.95\"", "geometry.wheelbase", "2.95 has no unit.", "Write \"2.95 m\"" },
        { Wheelbase, "wheelbase = \"2.95 kg\"", "geometry.wheelbase", "\"2.95 kg\" is a mass; a length is needed.", "Write it in one of: m, mm" },
        { Wheelbase, "wheelbase = \"2.95 parsnips\"", "geometry.wheelbase", "\"2.95 parsnips\" has the unknown unit \"parsnips\"; a length is needed.", "Write it in one of: m, mm" },
        { Wheelbase, "wheelbase = \"2,95 m\"", "geometry.wheelbase", "\"2,95 m\" is not a number.", "Write decimals with a point" },
        { Wheelbase, "wheelbase = \"long\"", "geometry.wheelbase", "\"long\" is not a number.", "Write a number and a unit" },
        { Wheelbase, "wheelbase = true", "geometry.wheelbase", "true is not a length.", "Write it in one of: m" },
        { Wheelbase, "wheelbase = [1]", "geometry.wheelbase", "a list is not a length.", "Write it in one of: m" },
        { Wheelbase, "wheelbase = 2026-11-25", "geometry.wheelbase", "a date or time is not a length.", "Write it in one of: m" },
        { Wheelbase, "wheelbase = nan", "geometry.wheelbase", "NaN is no finite number.", "Correct the number." },
        { Wheelbase, "wheelbase = \"1e999 m\"", "geometry.wheelbase", "\"1e999 m\" is not a number.", "Write a number and a unit" },
        { Wheelbase, "wheelbase = \"2.95 m ± x\"", "geometry.wheelbase", "has no number of 0 or more behind the ±.", "612 kg ± 1.5 kg" },
        { Wheelbase, "wheelbase = \"2.95 m ± -1 mm\"", "geometry.wheelbase", "has no number of 0 or more behind the ±.", "612 kg ± 1.5 kg" },
        { Wheelbase, "wheelbase = \"2.95 m ± 1 kg\"", "geometry.wheelbase", "is a mass; a length is needed.", "Write it in one of: m" },
        { Wheelbase, "wheelbase = \"2.95 m ± 3 m\"", "geometry.wheelbase", "its uncertainty is larger than the value itself.", "behind the ±" },
        { "pressure = \"1009 hPa\"", "pressure = \"1009 mPa\"", "weather.pressure", "unknown unit \"mPa\"", "Write it in one of: MPa, Pa, hPa" },
        { "corner_weight_fl = \"151.6 kg\"", "corner_weight_fl = \"151.6 m\"", "setup.corner_weight_fl", "is a length; a force is needed.", "Write it in one of: N, kN, daN, kgf, lbf, kg, g, lb." },

        // Names.
        { "wheelbase =", "weelbase =", "geometry.weelbase", "is not a known name.", "Did you mean \"wheelbase\"?" },
        { "pushrod_load_fl =", "push_rod_load_fl =", "channels.pushrod_load_fl", "is missing.", "All four load cells are needed" },
        { "pushrod_load_fl =", "push_rod_load_fl =", "channels.push_rod_load_fl", "is not a known name.", "Did you mean \"pushrod_load_fl\"?" },
        { "tension_limit =", "tensile_limit =", "components[1].tensile_limit", "is not a known name.", "Did you mean \"tension_limit\"?" },
        { "[weather]", "[wether]", "wether", "is not a known name.", "Did you mean \"weather\"?" },
        { "range = [\"-12 kN\", \"20 kN\"]", "rnage = [\"-12 kN\", \"20 kN\"]", "channels.pushrod_load_fl.rnage", "is not a known name.", "Did you mean \"range\"?" },
        { "humidity = \"48 %\"", "humidity = \"48 %\"\nqqqqqqqq = 1", "weather.qqqqqqqq", "is not a known name.", "Known here: temperature, pressure, humidity." },
        { "corner_weight_rr =", "corner_weight_rx =", "setup.corner_weight_rx", "is not a known name.", "Did you mean \"corner_weight_rl\"?" },
        { "[suspension.rear]", "[suspension.reat]", "suspension.reat", "is not a known name.", "Did you mean \"rear\"?" },

        // Twice.
        { "humidity = \"48 %\"", "pressure = \"48 %\"", "pressure", "is written twice; it first stands on line", "Keep one of the two." },
        { "[weather]", "[mass]", "mass", "is written twice; it first stands on line 19.", "Keep one of the two." },
        { "speed = {", "pushrod_load_fl = {", "pushrod_load_fl", "is written twice", "Keep one" },
        { "name = \"Pushrod load FR\"", "name = \"Pushrod load FL\"", "channels.pushrod_load_fr", "the logged channel \"Pushrod load FL\" already plays pushrod_load_fl.", "Give each role its own channel." },
        { "id = \"PR-FR-015\"", "id = \"PR-FL-014\"", "components[2].id", "\"PR-FL-014\" is already the id of the component on line", "Give each part its own serial number" },
        { "{ cycles = 2e6,", "{ cycles = 2e6, cycles = 3e6,", "cycles", "is written twice", "Keep one" },

        // Plausible values.
        { Wheelbase, "wheelbase = \"0.3 m\"", "geometry.wheelbase", "0.3 m is not plausible; 1.5 m to 4.5 m is expected.", "Correct the number or its unit." },
        { Wheelbase, "wheelbase = \"295 mm\"", "geometry.wheelbase", "295 mm is not plausible; 1500 mm to 4500 mm is expected.", "Correct the number or its unit." },
        { "without_fuel = \"615.0 kg ± 0.8 kg\"", "without_fuel = \"-615 kg\"", "mass.without_fuel", "-615 kg is not plausible; 100 kg to 3500 kg is expected.", "Correct" },
        { "without_fuel = \"615.0 kg ± 0.8 kg\"", "without_fuel = \"200 kg\"", "mass.without_fuel", "200 kg with 140 kg unsprung leaves less than 40 % sprung.", "of an axle" },
        { "track_front = \"1.560 m\"", "track_front = \"3.1 m\"", "geometry.track_front", "3.1 m is not plausible; 0.8 m to 3 m is expected.", "Correct" },
        { "sprung_cg_behind_front_axle = \"1.620 m ± 6 mm\"", "sprung_cg_behind_front_axle = \"3.0 m\"", "geometry.sprung_cg_behind_front_axle", "3 m puts the centre of gravity behind the rear axle; the wheelbase is 2.95 m.", "Correct one of the two." },
        { "sprung_cg_behind_front_axle = \"1.620 m ± 6 mm\"", "sprung_cg_behind_front_axle = \"1.33 m\"", "geometry.sprung_cg_behind_front_axle", "the corner weights put 44.9 % on the front axle while masses and centre of gravity give 52.7 %.", "Correct the centre of gravity" },
        { "corner_weight_fl = \"151.6 kg\"", "corner_weight_fl = \"181.6 kg\"", "setup.corner_weight_fl", "the corner weights sum to 705 kg while mass and fuel on the scales give 675 kg (+4.4 %).", "Weigh with driver" },
        { "fuel_on_scales = \"60.0 kg\"", "fuel_on_scales = \"5.0 kg\"", "setup.corner_weight_fl", "the corner weights sum to 675 kg while mass and fuel on the scales give 620 kg (+8.9 %).", "setup.fuel_on_scales" },
        { "ratio = [0.890,", "ratio = [8.90,", "suspension.front.installation_ratio.ratio", "8.9 is not plausible; 0.1 to 5 is expected.", "Correct" },
        { "lap_length = \"3223.5 m\"", "lap_length = \"3.6 m\"", "lap_length", "3.6 m is not plausible; 200 m to 30000 m is expected.", "Correct" },
        { "humidity = \"48 %\"", "humidity = 48", "weather.humidity", "48 is not plausible; 0 to 1 is expected.", "Correct" },
        { "temperature = \"21.0 degC\"", "temperature = \"21 K\"", "weather.temperature", "21 K is not plausible; 230 K to 330 K is expected.", "Correct" },
        { "steps = [\"0.05 mm\",", "steps = [\"0.05 m\",", "shims.steps", "0.05 m is not plausible", "Correct" },
        { "steps = [\"0.05 mm\", \"0.10 mm\"", "steps = [\"0.10 mm\", \"0.10 mm\"", "shims.steps", "a thickness is listed twice.", "List each thickness once." },
        { "linkage_share_braking = \"15 %\"", "linkage_share_braking = \"150 %\"", "suspension.front.linkage_share_braking", "150 % is not plausible; 0 % to 100 % is expected.", "Correct" },
        { "inspection_threshold = \"9.0 kN\"", "inspection_threshold = \"12.5 kN\"", "components[1].inspection_threshold", "12500 N lies above the limit 12000 N", "Give a threshold below the limit." },
        { "limit_factor = 1.1", "limit_factor = 0.9", "components[1].limit_factor", "0.9 is not plausible; 1 to 5 is expected.", "Correct" },
        { "wall = \"1.2 mm\"", "wall = \"8.2 mm\"", "components[1].strut.wall", "is more than half the outer diameter.", "Write half the diameter for a solid rod." },
        { "yield_strength = \"460 MPa\"", "yield_strength = \"4.6 GPa\"", "components[1].strut.yield_strength", "is more than a fiftieth of the elastic modulus", "Correct one of the two." },

        // Tables, ranges and signs.
        { "ratio = [0.890, 0.902,", "ratio = [0.890,", "suspension.front.installation_ratio.damper_travel", "has 8 values while ratio has 7.", "Give one for each of the other." },
        { "[\"-45 mm\", \"-25 mm\",", "[\"-45 mm\", \"-50 mm\",", "suspension.front.installation_ratio.damper_travel", "value 2 does not rise above the one before it.", "List the values rising." },
        { "[\"-45 mm\", \"0 mm\", \"30 mm\", \"60 mm\"]", "[\"5 mm\", \"10 mm\", \"30 mm\", \"60 mm\"]", "suspension.front.damper_ratio.damper_travel", "the table does not cover 0 mm, the static position.", "Measure damper travel from the static position" },
        { "force = [\"0 N\", \"350 N\"", "force = [\"0 N\", \"0 N\"", "suspension.front.third_element.rubber.force", "value 2 does not rise", "List the values rising." },
        { "compression = [\"0 mm\", \"2 mm\"", "compression = [\"1 mm\", \"2 mm\"", "suspension.front.third_element.rubber.compression", "the curve must start at 0 mm and 0 N", "Add the point" },
        { "rubber_gap = \"9.0 mm\"", "", "suspension.front.third_element.rubber_gap", "is missing while rubber is given.", "Give both, or neither." },
        { "range = [\"-12 kN\", \"20 kN\"]", "range = [\"20 kN\", \"-12 kN\"]", "channels.pushrod_load_fl.range", "the upper end is not above the lower end.", "Write the lower end first." },
        { "range = [\"-12 kN\", \"20 kN\"]", "range = [\"20 kN\"]", "channels.pushrod_load_fl.range", "has 1 values.", "Write the lower and the upper end." },
        { "range = [\"-12 kN\", \"20 kN\"]", "range = \"20 kN\"", "channels.pushrod_load_fl.range", "\"20 kN\" is not a list.", "Write a list in square brackets." },
        { "range = [\"-12 kN\", \"20 kN\"]", "range = [\"-12 mm\", \"20 mm\"]", "channels.pushrod_load_fl.range", "\"-12 mm\" is a length; a force is needed.", "Write it in one of: N" },
        { "unit = \"N\", range", "unit = \"N\", sign = 2, range", "channels.pushrod_load_fl.sign", "2 is not plausible; -1 to 1 is expected.", "Correct" },
        { "unit = \"N\", range", "unit = \"N\", sign = 0, range", "channels.pushrod_load_fl.sign", "0 is neither 1 nor -1.", "Write 1, or -1 when the logger counts the other way." },
        { "unit = \"N\", range", "unit = \"kg\", range", "channels.pushrod_load_fl.unit", "\"kg\" is a mass; pushrod_load_fl is a force.", "A cell that was calibrated with masses reads \"kgf\"." },
        { "resolution = \"1 N\"", "resolution = \"0 N\"", "channels.pushrod_load_fl.resolution", "is not above 0.", "Write the size of one step." },
        { "name = \"Speed\", unit = \"km/h\"", "name = \"Speed\", unit = \"km/h\", threshold = \"3 bar\"", "channels.speed.threshold", "only the brake has a threshold.", "Remove it." },
        { "name = \"Speed\", unit = \"km/h\"", "name = \"Speed\", unit = \"km/h\", from_static = true", "channels.speed.from_static", "only damper travel has a static position.", "Remove it." },
        { "lap_number = \"Lap\"", "lap_number = 7", "channels.lap_number", "7 is no channel.", "Write the channel's name in double quotes" },
        { "lap_number = \"Lap\"", "lap_number = \" \"", "channels.lap_number", "is no channel.", "Write the channel's name in double quotes" },
        { "time_column = \"Time\"", "time_column = \"Time\"\nseparator = \"abc\"", "log.separator", "\"abc\" is not a separator.", "or \"tab\"" },
        { "time_column = \"Time\"", "time_column = \"Time\"\ndecimal_comma = \"yes\"", "log.decimal_comma", "\"yes\" is neither true nor false.", "without quotes" },
        { "time_column = \"Time\"", "time_column = \"Time\"\nmissing = \"n/a\"", "log.missing", "\"n/a\" is not a list of texts.", "Write it like [" },
        { "[shims]", "[shims]\n[[setup]]", "setup", "is written twice", "Keep one" },

        // Components and fatigue.
        { "corner = \"FL\"\n", "corner = \"LF\"\n", "components[1].corner", "\"LF\" is none of: FL, FR, RL, RR.", "Write one of these." },
        { "corner = \"FL\"\n", "", "components[1].load", "is missing, and so is corner.", "Give the corner, or load" },
        { "source = \"pushrod\", corner = \"FL\"", "source = \"damper\", corner = \"FL\"", "components[5].load[1].source", "\"damper\" is none of: pushrod, wheel_load, damper_travel, constant.", "Write one of these." },
        { "corner = \"FL\", factor = 1.0", "corner = \"FL\", factor = 0", "components[5].load[1].factor", "is 0, so the term adds nothing.", "remove the term" },
        { "load = [{ source = \"pushrod\", corner = \"FL\", factor = 1.0 }]", "load = []", "components[5].load", "the list is empty.", "Give at least one term" },
        { "load = [{ source = \"pushrod\", corner = \"FL\", factor = 1.0 }]", "load = \"pushrod\"", "components[5].load", "\"pushrod\" is not a list of tables.", "Write [[components[5].load]] once for each." },
        { FirstLine, "line = { cycles = 2e6, range = \"5.2 kN\", slope = 50 }", "components[1].fatigue.line.slope", "50 is not plausible; 1 to 30 is expected.", "Correct" },
        { FirstLine, "line = { cycles = 2e6, range = \"5.2 kN\", slope_above = 5 }", "components[1].fatigue.line.slope_below", "is missing.", "needs slope, or slope_above and slope_below" },
        { FirstLine, "line = { cycles = 2e6, range = \"5.2 kN\", slope = 5, slope_below = 7 }", "components[1].fatigue.line.slope", "stands beside slope_above or slope_below.", "Give slope for one slope" },
        { FirstLine, "line = { cycles = 2e6, range = \"5.2 kN\", slope_above = 5, slope_below = 7, small_cycles = \"modified\" }", "components[1].fatigue.line.small_cycles", "stands beside slope_below, which already says it.", "Keep one of the two." },
        { FirstLine, "line = { cycles = 2e6, range = \"5.2 kN\", slope = 5, small_cycles = \"some\" }", "components[1].fatigue.line.small_cycles", "original, elementary, modified", "Write one of these." },
        { FirstLine, FirstLine + "\nlife_scatter = 0.2", "components[1].fatigue.survival", "is missing", "" },
        { FirstLine, FirstLine + "\nline_survival = \"90 %\"", "components[1].fatigue.line_survival", "has no use unless life_scatter is given.", "Remove it, or give life_scatter and survival." },
        { FirstLine, FirstLine + "\nlife_scatter = 0.2\nsurvival = \"90 %\"\nline_survival = \"97.7 %\"", "components[1].fatigue.survival", "is below line_survival", "Give a survival at or above line_survival." },
        { FirstLine, FirstLine + "\nlife_scatter = 3\nsurvival = \"99 %\"", "components[1].fatigue.life_scatter", "3 is not plausible; 0.01 to 2 is expected.", "Correct" },
        { FirstLine, "line = { cycles = 2e6, slope = 5 }", "components[1].fatigue.line.range", "is missing.", "Give cycles and range, or detail_category." },
        { FirstLine, "line = { cycles = 2e6, range = \"5.2 kN\", slope = 5, cut_off = \"6 kN\" }", "components[1].fatigue.line.cut_off", "must lie below the last range", "Correct one of the two." },
        { FirstLine, "line = { cycles = [1e4, 1e6], range = [\"5 kN\", \"6 kN\"] }", "components[1].fatigue.line.range", "value 2 does not fall below the one before it.", "More cycles go with smaller ranges." },
        { FirstLine, "line = { cycles = [1e4, 1e6], range = [\"5 kN\", \"6 MPa\"] }", "components[1].fatigue.line.range", "mixes load and stress.", "Give all ranges as load" },
        { FirstLine, "line = { cycles = [1e4, 1e6], range = [\"5 kN\", \"0.1 N\"] }", "components[1].fatigue.line.range", "0.1 N is not plausible", "Correct" },
        { FirstLine, "line = { cycles = [1e4, 1e6], range = [\"5 kN\", \"4.9 kN\"] }", "components[1].fatigue.line.cycles", "the slope between points 1 and 2 is 227.948; 1 to 30 is expected.", "Correct cycles or range." },
        { FirstLine, "line = { cycles = [1e4, 1e6], range = [\"5 kN\", \"2 kN\"], slope = 5 }", "components[1].fatigue.line.slope", "stands beside 2 points, which have slopes of their own.", "set the ends of a table" },
        { FirstLine, "line = { detail_category = 71, slope = 3 }\nstress_per_load = \"5 MPa/kN\"", "components[1].fatigue.line.slope", "stands beside detail_category", "Keep one of the two." },
        { FirstLine, "line = { detail_category = 71 }", "components[1].fatigue.stress_per_load", "is missing; the S-N line is in stress.", "Add it." },
        { FirstLine, FirstLine + "\nstress_per_load = \"5 MPa/kN\"", "components[1].fatigue.stress_per_load", "has no use unless the S-N line is in stress.", "Remove it" },
        { FirstLine, FirstLine + "\nmean_stress = \"goodman\"", "components[1].fatigue.ultimate_strength", "is missing; the mean-stress rule is goodman or gerber.", "Add it." },
        { FirstLine, FirstLine + "\nmean_stress = \"walker\"", "components[1].fatigue.walker_gamma", "is missing; the mean-stress rule is walker.", "Add it." },
        { FirstLine, FirstLine + "\nmean_stress = \"soderberg\"", "components[1].fatigue.mean_stress", "\"soderberg\" is none of: none, goodman, gerber, smith_watson_topper, walker.", "Write one of these." },
        { "ultimate_strength = \"540 MPa\"", "ultimate_strength = \"540 kN\"", "components[5].fatigue.ultimate_strength", "is a force while the S-N line is in pressure or stress.", "Give both in the same." },
        { "critical_damage = 0.5", "critical_damage = 50", "components[1].fatigue.critical_damage", "50 is not plausible; 0.01 to 2 is expected.", "Correct" },
        { "stress_per_load = \"11.5 MPa/kN\"", "stress_per_load = \"0 MPa/kN\"", "components[5].fatigue.stress_per_load", "is as good as nothing", "negative where compression pulls the spot" },
        { "stress_per_load = \"11.5 MPa/kN\"", "stress_per_load = \"11.5 MPa\"", "components[5].fatigue.stress_per_load", "is a pressure or stress; a stress per load is needed.", "MPa/kN" },
    };

    [Theory]
    [MemberData(nameof(Kinds))]
    public void A_fault_names_its_line_and_field_and_says_what_to_do(string old, string change, string path, string found, string remedy)
    {
        string text = CarText.With(old, change);
        IReadOnlyList<InputFault> faults = CarText.Faults(text);
        InputFault? fault = faults.FirstOrDefault(f => f.Where.EndsWith($", {path}", StringComparison.Ordinal) && f.Found.Contains(found, StringComparison.Ordinal));
        Assert.True(fault is not null, string.Join('\n', faults));
        Assert.Contains(remedy, fault.Remedy, StringComparison.Ordinal);
        Assert.Matches($"^{CarText.Name}, line [0-9]+, ", fault.Where);
    }

    [Theory]
    [InlineData(Wheelbase, "wheelbase = 2.95")]
    [InlineData("wheelbase =", "weelbase =")]
    [InlineData("range = [\"-12 kN\", \"20 kN\"]", "range = [\"20 kN\"]")]
    [InlineData("critical_damage = 0.5", "critical_damage = 50")]
    [InlineData("id = \"PR-FR-015\"", "id = \"PR-FL-014\" ")]
    public void A_fault_stands_on_the_line_that_was_changed(string old, string change)
    {
        string text = CarText.With(old, change);
        int line = 1 + CarText.Sample.AsSpan(0, CarText.Sample.IndexOf(old, StringComparison.Ordinal)).Count('\n');
        Assert.Contains(CarText.Faults(text), f => f.Where.StartsWith($"{CarText.Name}, line {line}, ", StringComparison.Ordinal));
    }

    [Fact]
    public void All_faults_come_together_by_line()
    {
        string text = CarText.With(Wheelbase, "wheelbase = 2.95")
            .Replace("humidity = \"48 %\"", "humidity = \"48 m\"", StringComparison.Ordinal)
            .Replace("cg_height = \"0.290 m ± 6 mm\"\n", "", StringComparison.Ordinal)
            .Replace("id = \"WB-RL-021\"", "ident = \"WB-RL-021\"", StringComparison.Ordinal);
        IReadOnlyList<InputFault> faults = Assert.Throws<InputError>(() => CarFile.Parse(text, CarText.Name)).Faults;
        Assert.Equal(
            ["geometry.cg_height", "geometry.wheelbase", "weather.humidity", "components[6].id", "components[6].ident"],
            faults.Select(f => f.Where[(f.Where.LastIndexOf(", ", StringComparison.Ordinal) + 2)..]));
        int[] lines = [.. faults.Select(f => int.Parse(f.Where.Split(", ")[1]["line ".Length..], System.Globalization.CultureInfo.InvariantCulture))];
        Assert.Equal(lines.Order(), lines);
    }

    [Theory]
    [InlineData("name = \"Demo single-seater, baseline\"\n", "name", "Add it: The car's name, shown on every output.")]
    [InlineData("cg_height = \"0.290 m ± 6 mm\"\n", "geometry.cg_height", "Add it: h, height of the whole car's centre of gravity")]
    [InlineData("pressure = \"1009 hPa\"\n", "weather.pressure", "Add it: Static air pressure at the circuit")]
    [InlineData("description = \"Pushrod front left, steel tube\"\n", "components[1].description", "Add it: What the part is.")]
    [InlineData("corner_weight_rr = \"185.9 kg\"\n", "setup.corner_weight_rr", "Give all four, or none.")]
    [InlineData("ride_height_rear = \"62.0 mm\"\n", "setup.ride_height_rear", "Give both, or neither.")]
    [InlineData("yield_strength = \"460 MPa\"\n", "components[1].strut.yield_strength", "Add it: Compressive yield strength.")]
    public void A_missing_field_is_told_at_the_head_of_its_table(string gone, string path, string remedy)
    {
        string text = CarText.With(gone, "");
        InputFault fault = Assert.Single(CarText.Faults(text));
        Assert.EndsWith($", {path}", fault.Where, StringComparison.Ordinal);
        Assert.StartsWith("is missing", fault.Found, StringComparison.Ordinal);
        Assert.StartsWith(remedy, fault.Remedy, StringComparison.Ordinal);
    }

    [Fact]
    public void An_empty_file_tells_every_required_section()
    {
        IReadOnlyList<InputFault> faults = CarText.Faults("");
        Assert.Equal(
            ["name", "geometry", "mass", "suspension", "channels"],
            faults.Select(f => f.Where[(f.Where.LastIndexOf(", ", StringComparison.Ordinal) + 2)..]));
        Assert.Contains(faults, f => f.Remedy.Contains("Add [mass] with without_fuel, unsprung_front, unsprung_rear, fuel_at_start", StringComparison.Ordinal));
    }

    [Fact]
    public void Each_missing_load_cell_is_told()
    {
        string text = CarText.Sample.Replace("pushrod_load_r", "wheel_speed_r", StringComparison.Ordinal);
        Assert.Equal(
            ["car.toml, line 96, channels.pushrod_load_rl", "car.toml, line 96, channels.pushrod_load_rr"],
            CarText.Faults(text).Where(f => f.Found == "is missing.").Select(f => f.Where));
    }
}
