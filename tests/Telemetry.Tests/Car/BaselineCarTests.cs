using Telemetry.Car;

namespace Telemetry.Tests.Car;

public class BaselineCarTests
{
    private static readonly string Sample = Path.Combine(Repository.Root, "sample-runs", "baseline", "car.toml");

    private static CarDefinition Read() => CarFile.Read(Sample);

    [Fact]
    public void The_sample_car_has_no_fault_and_no_warning_and_carries_every_answer()
    {
        CarFileCheck check = CarFile.Check(Sample);
        Assert.Empty(check.Faults);
        Assert.Empty(check.Warnings);
        Assert.NotNull(check.Car);
        Assert.Equal(9 + 6, check.Answers.Length);
        Assert.All(check.Answers, a => Assert.Empty(a.Missing));
        Assert.All(check.Answers, a => Assert.Empty(a.WouldImprove));
    }

    [Fact]
    public void Quantities_are_in_si_with_their_uncertainty()
    {
        // Expected values: the texts of the sample file, converted by hand.
        CarDefinition car = Read();
        Assert.Equal("Demo single-seater, baseline", car.Name);
        Assert.Equal(Sample, car.Source);
        Assert.Equal(new Measured(2.950, 0.001), car.Geometry.WheelbaseM);
        Assert.Equal(new Measured(1.620, 0.006), car.Geometry.SprungCentreBehindFrontAxleM);
        Assert.Equal(0.016, car.Geometry.RollCentreHeightM!.Front, 12);
        Assert.Equal(new Measured(615, 0.8), car.Masses.WithoutFuelKg);
        Assert.Equal(62, car.Masses.UnsprungKg.Front);
        Assert.Equal(0.3, car.Masses.UnsprungUncertaintyKg.Front);
        Assert.Equal(0.15, car.Suspension.Front.LinkageShareBraking, 12);
        Assert.Equal(140_000, car.Suspension.Front.SpringRateNpm!.Value, 6);
        Assert.Equal(0.009, car.Suspension.Front.Third!.RubberGapM!.Value, 12);
        Assert.Equal(new ForcePoint(0.002, 350), car.Suspension.Rear.Third!.Rubber[1]);
        Assert.Equal(151.6 * 9.80665, car.Setup.CornerWeightN!.FrontLeft, 9);
        Assert.Equal(0.4 * 9.80665, car.Setup.CornerWeightUncertaintyN, 9);
        Assert.Equal(294.15, car.Weather!.TemperatureK, 9);
        Assert.Equal(100_900, car.Weather.PressurePa, 6);
        Assert.Equal(0.48, car.Weather.RelativeHumidity, 12);
        Assert.Equal(3223.5, car.LapLengthM);
        Assert.Equal([0.00005, 0.0001, 0.0002, 0.0005, 0.001], car.ShimStepsM.Select(s => Math.Round(s, 9)));
        Assert.Equal("Time", car.Log.TimeColumn);
    }

    [Fact]
    public void Ratios_are_tables_with_a_relative_uncertainty()
    {
        RatioCurve ratio = Read().Suspension.Front.InstallationRatio;
        Assert.False(ratio.IsConstant);
        Assert.Equal(0.0025, ratio.RelativeUncertainty, 12);
        Assert.Equal(0.921, ratio.At(0), 12);
        Assert.Equal(0.959, ratio.At(0.040), 9);
        Assert.True(double.IsNaN(ratio.At(0.061)));
    }

    [Fact]
    public void Channels_carry_name_unit_range_and_resolution()
    {
        CarDefinition car = Read();
        ChannelMapping load = car.Mapping(ChannelRole.PushrodLoadRL)!;
        Assert.Equal("Pushrod load RL", load.Name);
        Assert.Equal((-12_000.0, 20_000.0), load.Range);
        Assert.Equal(1, load.Resolution);
        Assert.Equal(0.003, load.GainUncertainty, 12);
        Assert.Equal(1, load.Sign);
        Assert.Equal(300_000, car.Mapping(ChannelRole.Brake)!.Threshold!.Value, 6);
        Assert.Equal(6 * 9.80665, car.Mapping(ChannelRole.AccelerationX)!.Range!.Value.High, 9);
        Assert.Equal(new ChannelMapping { Role = ChannelRole.LapNumber, Name = "Lap" }, car.Mapping(ChannelRole.LapNumber));
        Assert.Null(car.Mapping(ChannelRole.AirSpeed));
    }

    [Fact]
    public void Components_carry_load_limits_strut_and_life()
    {
        CarDefinition car = Read();
        Assert.Equal(["PR-FL-014", "PR-FR-015", "PR-RL-008", "PR-RR-008", "RK-FL-003", "WB-RL-021"], car.Components.Select(c => c.Id));
        ComponentDefinition pushrod = car.Components[0];
        Assert.Equal("F-1201", pushrod.PartNumber);
        Assert.Equal([new LoadTerm(LoadSource.PushrodLoad, Corner.FrontLeft, 1)], pushrod.Load);
        Assert.Equal(12_000, pushrod.CompressionLimitN);
        Assert.Equal(new StrutDefinition(0.42, 0.016, 0.0012, 205e9, 460e6), pushrod.Strut);
        Assert.Equal([new SnPoint(2e6, 5200)], pushrod.Fatigue!.Line.Points);
        Assert.Equal(5, pushrod.Fatigue.Line.SlopeBelow);

        FatigueDefinition rocker = car.Components[4].Fatigue!;
        Assert.Equal(11_500, rocker.StressPerLoadPaPerN!.Value, 6);
        Assert.Equal(24e6, rocker.Line.CutOffRange!.Value, 3);
        Assert.Equal((4.0, 7.0), (rocker.Line.SlopeAbove, rocker.Line.SlopeBelow!.Value));
        Assert.Equal(MeanStressRule.Goodman, rocker.MeanRule);
        Assert.Equal(540e6, rocker.UltimateStrength!.Value, 3);

        // Slopes of the table's end pieces, by hand: log(N2/N1)/log(S1/S2).
        SnLine wishbone = car.Components[5].Fatigue!.Line;
        Assert.Equal(3, wishbone.Points.Length);
        Assert.Equal(Math.Log(100) / Math.Log(8.2 / 4.6), wishbone.SlopeAbove, 9);
        Assert.Equal(Math.Log(100) / Math.Log(4.6 / 2.6), wishbone.SlopeBelow!.Value, 9);
        Assert.Equal([new LoadTerm(LoadSource.PushrodLoad, Corner.RearLeft, -0.62)], car.Components[5].Load);
    }

    [Fact]
    public void Corner_weights_follow_from_masses_and_centre_of_gravity()
    {
        // Statics of the level car: front axle = (m_s b / L + m_u,front) g, m_s with the fuel on the scales.
        CarDefinition car = Read();
        double sprung = car.Masses.WithoutFuelKg.Value + car.Setup.FuelOnScalesKg!.Value - car.Masses.UnsprungKg.Front - car.Masses.UnsprungKg.Rear;
        double ahead = 1 - (car.Geometry.SprungCentreBehindFrontAxleM.Value / car.Geometry.WheelbaseM.Value);
        double front = 9.80665 * ((sprung * ahead) + car.Masses.UnsprungKg.Front);
        double rear = 9.80665 * ((sprung * (1 - ahead)) + car.Masses.UnsprungKg.Rear);
        PerCorner<double> weights = car.Setup.CornerWeightN!;
        Assert.Equal(1, (weights.FrontLeft + weights.FrontRight) / front, 0.001);
        Assert.Equal(1, (weights.RearLeft + weights.RearRight) / rear, 0.001);
    }

    [Fact]
    public void Every_compression_limit_of_a_strut_lies_below_its_column_allowable()
    {
        foreach (ComponentDefinition component in Read().Components.Where(c => c.Strut is not null))
        {
            Assert.True(component.CompressionLimitN * component.LimitFactor < ColumnAllowable.Of(component.Strut!).LoadN, component.Id);
        }
    }
}
