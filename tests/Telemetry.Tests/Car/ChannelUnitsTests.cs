using Telemetry.Car;

namespace Telemetry.Tests.Car;

public class ChannelUnitsTests
{
    [Theory]
    // Speeds. km/h by definition; statute mile 1609.344 m and knot 1852 m/h (ISO 80000-3).
    [InlineData(ChannelRole.Speed, "km/h", 252, 70)]
    [InlineData(ChannelRole.Speed, "kph", 252, 70)]
    [InlineData(ChannelRole.Speed, "kmh", 252, 70)]
    [InlineData(ChannelRole.Speed, "KPH", 252, 70)]
    [InlineData(ChannelRole.Speed, "m/s", 70, 70)]
    [InlineData(ChannelRole.Speed, "mph", 100, 44.704)]
    [InlineData(ChannelRole.AirSpeed, "kn", 3600, 1852)]
    [InlineData(ChannelRole.WheelSpeedFR, "[km/h]", 36, 10)]
    // Lengths. Inch 25.4 mm, foot 304.8 mm exactly.
    [InlineData(ChannelRole.DamperTravelFL, "mm", 12.26, 0.01226)]
    [InlineData(ChannelRole.DamperTravelRR, "MM", 12.26, 0.01226)]
    [InlineData(ChannelRole.DamperTravelFL, "cm", 1, 0.01)]
    [InlineData(ChannelRole.DamperTravelFL, "in", 1, 0.0254)]
    [InlineData(ChannelRole.LapDistance, "km", 3.642, 3642)]
    [InlineData(ChannelRole.LapDistance, "ft", 1, 0.3048)]
    [InlineData(ChannelRole.RideHeightFront, " mm ", 34, 0.034)]
    [InlineData(ChannelRole.PositionEast, "m", 5, 5)]
    // Forces. Kilogram-force 9.80665 N exactly; pound-force 4.4482216152605 N exactly.
    [InlineData(ChannelRole.PushrodLoadFL, "N", 5, 5)]
    [InlineData(ChannelRole.PushrodLoadFL, "kN", 5, 5000)]
    [InlineData(ChannelRole.PushrodLoadFL, "KN", 5, 5000)]
    [InlineData(ChannelRole.PushrodLoadFL, "daN", 5, 50)]
    [InlineData(ChannelRole.PushrodLoadFL, "kgf", 1, 9.80665)]
    [InlineData(ChannelRole.PushrodLoadFL, "kp", 1, 9.80665)]
    [InlineData(ChannelRole.PushrodLoadFL, "lbf", 1, 4.4482216152605)]
    // Accelerations: g is standard gravity, not the gram.
    [InlineData(ChannelRole.AccelerationZ, "g", 1, 9.80665)]
    [InlineData(ChannelRole.AccelerationX, "G", -2, -19.6133)]
    [InlineData(ChannelRole.AccelerationX, "(g)", 1, 9.80665)]
    [InlineData(ChannelRole.AccelerationY, "m/s2", 3, 3)]
    [InlineData(ChannelRole.AccelerationY, "m/s^2", 3, 3)]
    [InlineData(ChannelRole.AccelerationY, "m/s²", 3, 3)]
    [InlineData(ChannelRole.AccelerationY, "m/s/s", 3, 3)]
    // Temperatures.
    [InlineData(ChannelRole.CellTemperatureFL, "degC", 21, 294.15)]
    [InlineData(ChannelRole.CellTemperatureFL, "°C", -10, 263.15)]
    [InlineData(ChannelRole.CellTemperatureFL, "ºC", -10, 263.15)]
    [InlineData(ChannelRole.AirTemperature, "C", 0, 273.15)]
    [InlineData(ChannelRole.AirTemperature, "K", 300, 300)]
    [InlineData(ChannelRole.AirTemperature, "degF", 212, 373.15)]
    // Pressures; psi 6894.757293168361 Pa (pound-force over square inch, from the two exact values above).
    [InlineData(ChannelRole.AirPressure, "hPa", 1009, 100_900)]
    [InlineData(ChannelRole.AirPressure, "mbar", 1009, 100_900)]
    [InlineData(ChannelRole.AirPressure, "kPa", 100.9, 100_900)]
    [InlineData(ChannelRole.Brake, "bar", 30, 3e6)]
    [InlineData(ChannelRole.Brake, "Bar", 30, 3e6)]
    [InlineData(ChannelRole.Brake, "psi", 1, 6894.757293168361)]
    [InlineData(ChannelRole.Brake, "MPa", 3, 3e6)]
    // Shares: a brake may be one too.
    [InlineData(ChannelRole.Brake, "%", 30, 0.3)]
    [InlineData(ChannelRole.Throttle, "%", 100, 1)]
    [InlineData(ChannelRole.Throttle, "-", 0.5, 0.5)]
    [InlineData(ChannelRole.AirHumidity, "%", 48, 0.48)]
    // Angles.
    [InlineData(ChannelRole.SteerAngle, "deg", 180, Math.PI)]
    [InlineData(ChannelRole.SteerAngle, "°", 180, Math.PI)]
    [InlineData(ChannelRole.Course, "rad", 1, 1)]
    [InlineData(ChannelRole.YawRate, "deg/s", 180, Math.PI)]
    [InlineData(ChannelRole.YawRate, "°/s", 180, Math.PI)]
    [InlineData(ChannelRole.YawRate, "rad/s", 1, 1)]
    [InlineData(ChannelRole.YawRate, "rpm", 30, Math.PI)]
    // The rest.
    [InlineData(ChannelRole.FuelMass, "kg", 60, 60)]
    [InlineData(ChannelRole.FuelMass, "lb", 1, 0.45359237)]
    [InlineData(ChannelRole.LapNumber, "", 3, 3)]
    [InlineData(ChannelRole.LapNumber, "lap", 3, 3)]
    public void A_logged_unit_becomes_the_roles_si_unit(ChannelRole role, string unit, double logged, double si)
    {
        Assert.Null(ChannelUnits.Read(role, unit, out UnitConversion conversion));
        Assert.Equal(si, conversion.ToSi(logged), Math.Max(1e-12, 1e-13 * Math.Abs(si)));
        Assert.Equal(logged, conversion.FromSi(si), 1e-9);
    }

    [Theory]
    [InlineData(ChannelRole.PushrodLoadFL, "mm", "\"mm\" is a length; pushrod_load_fl is a force.")]
    [InlineData(ChannelRole.PushrodLoadFL, "kg", "\"kg\" is a mass; pushrod_load_fl is a force.")]
    [InlineData(ChannelRole.AccelerationX, "kg", "\"kg\" is a mass; acceleration_x is an acceleration.")]
    [InlineData(ChannelRole.Speed, "g", "\"g\" is a mass; speed is a speed.")]
    [InlineData(ChannelRole.WheelSpeedFL, "rpm", "\"rpm\" is an angular speed; wheel_speed_fl is a speed.")]
    [InlineData(ChannelRole.FuelMass, "l", "\"l\" is not a known unit; fuel_mass is a mass.")]
    [InlineData(ChannelRole.Brake, "m", "\"m\" is a length; brake is a pressure or stress.")]
    [InlineData(ChannelRole.AirPressure, "mPa", "\"mPa\" is not a known unit; air_pressure is a pressure or stress.")]
    [InlineData(ChannelRole.LapNumber, "km", "\"km\" is a length; lap_number is a number without unit.")]
    [InlineData(ChannelRole.Throttle, "", "the channel has no unit.")]
    [InlineData(ChannelRole.Speed, " ", "the channel has no unit.")]
    public void A_unit_of_the_wrong_kind_is_refused_by_name(ChannelRole role, string unit, string found)
    {
        (string Found, string Remedy)? wrong = ChannelUnits.Read(role, unit, out _);
        Assert.Equal(found, wrong?.Found);
        Assert.Contains($"channels.{role.Key()}.unit", wrong?.Remedy, StringComparison.Ordinal);
    }

    [Fact]
    public void A_load_cell_in_kilograms_is_told_what_it_may_mean() =>
        Assert.Contains("\"kgf\"", ChannelUnits.Read(ChannelRole.PushrodLoadFL, "kg", out _)?.Remedy, StringComparison.Ordinal);

    [Fact]
    public void Every_role_has_a_name_and_an_si_unit_that_converts_to_itself()
    {
        foreach (ChannelRole role in Enum.GetValues<ChannelRole>())
        {
            Assert.Equal(role, ChannelNames.Role(role.Key()));
            Assert.Null(ChannelUnits.Read(role, ChannelUnits.SiUnit(role), out UnitConversion same));
            Assert.Equal(new UnitConversion(1, 0), same);
        }

        Assert.Equal("pushrod_load_fl", ChannelRole.PushrodLoadFL.Key());
        Assert.Equal("acceleration_x", ChannelRole.AccelerationX.Key());
        Assert.Equal("ride_height_front", ChannelRole.RideHeightFront.Key());
        Assert.Equal("wheel_speed_rr", ChannelRole.WheelSpeedRR.Key());
        Assert.Null(ChannelNames.Role("PushrodLoadFL"));
    }

    [Fact]
    public void A_brake_in_percent_is_kept_as_a_share()
    {
        Assert.Equal("Pa", ChannelUnits.SiUnit(ChannelRole.Brake));
        Assert.Equal("Pa", ChannelUnits.SiUnit(ChannelRole.Brake, "bar"));
        Assert.Equal("1", ChannelUnits.SiUnit(ChannelRole.Brake, "%"));
    }

    [Fact]
    public void NaN_stays_NaN()
    {
        Assert.Null(ChannelUnits.Read(ChannelRole.CellTemperatureFL, "degC", out UnitConversion conversion));
        Assert.True(double.IsNaN(conversion.ToSi(double.NaN)));
    }
}
