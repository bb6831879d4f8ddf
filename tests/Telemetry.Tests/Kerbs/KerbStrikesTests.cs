using CsCheck;
using Telemetry.Car;
using Telemetry.Kerbs;
using Telemetry.Logs;
using Telemetry.Tests.Fatigue;
using Telemetry.WheelLoads;

namespace Telemetry.Tests.Kerbs;

/// <summary>Strikes laid by hand on a road of known roughness: places, peaks and lengths are known exactly.</summary>
public class KerbStrikesTests
{
    private const double Speed = 40;
    private const double WheelbaseM = 3;
    private static readonly TimeBase Time = TimeBase.Even(0, 0.001, 180_000);

    /// <summary>The road at each millisecond, by corner.</summary>
    private static readonly double[][] Roads = [.. Corners.All.Select(RoadOf)];

    /// <summary>Waves of several lengths, no two in step: a road whose load scatters by some 110 N and never rises steeply.</summary>
    private static double[] RoadOf(Corner corner)
    {
        double phase = 1.7 * (int)corner;
        double[] load = new double[180_000];
        for (int i = 0; i < load.Length; i++)
        {
            double t = 0.001 * i;
            load[i] = (110 * Math.Sin((13.1 * t) + phase)) + (90 * Math.Sin((23.7 * t) + (2 * phase))) + (60 * Math.Sin((41.3 * t) - phase)) + (30 * Math.Sin((67.9 * t) + (3 * phase)));
        }

        return load;
    }

    private static double Road(Corner corner, double t) => Roads[(int)corner][(int)Math.Round(1000 * t)];

    /// <summary>A half sine of the given length that begins at a time.</summary>
    private static double Pulse(double t, double start, double lengthS, double heightN) =>
        t <= start || t >= start + lengthS ? 0 : heightN * Math.Sin(Math.PI * (t - start) / lengthS);

    /// <summary>The kerb at 800 m of each 60 s lap, that is at 20 s: left wheels, rear a wheelbase later.</summary>
    private static double Kerb(Corner corner, double t, double heightN = 4000, double lengthS = 0.04)
    {
        double start = corner.Axle() == Axle.Front ? 20 : 20 + (WheelbaseM / Speed);
        return corner.IsLeft() ? Pulse(t % 60, start, lengthS, heightN) : 0;
    }

    private static WheelLoadSet Wheels(Func<Corner, double, double> extraN, CarDefinition? car = null, double? rateHz = null, Func<double, double>? speed = null) =>
        LoadRuns.Of(
            car ?? TestCars.Plain(),
            rateHz is { } rate ? TimeBase.Even(0, 1 / rate, (int)(180 * rate)) : Time,
            (corner, t) => 4000 + Road(corner, t) + extraN(corner, t),
            (corner, t) => (Road(corner, t) + extraN(corner, t)) / 200_000,
            speed);

    private static KerbResult Find(Func<Corner, double, double> extraN, CarDefinition? car = null, double? rateHz = null, Func<double, double>? speed = null) =>
        KerbStrikes.From(Wheels(extraN, car, rateHz, speed), KerbOptions.Default);

    [Fact]
    public void A_kerb_struck_on_three_laps_is_one_kerb_with_six_strikes_in_pairs()
    {
        KerbResult result = Find((corner, t) => Kerb(corner, t));
        Assert.Equal(6, result.Strikes.Length);
        Kerb kerb = Assert.Single(result.Kerbs);
        Assert.True(kerb.IsLeft);
        Assert.Equal(6, kerb.Strikes);
        Assert.Equal(3, kerb.Laps);

        // By hand: half a pulse after 20 s at 40 m/s; the log is at 1 kHz.
        Assert.Equal(Speed * 20.02, kerb.DistanceM, 0.1);
        foreach (KerbStrike front in result.Strikes.Where(strike => strike.Corner == Corner.FrontLeft))
        {
            KerbStrike rear = result.Strikes[front.PairedWith - 1];
            Assert.Equal(Corner.RearLeft, rear.Corner);
            Assert.Equal(front.Number, rear.PairedWith);
            Assert.Equal(WheelbaseM / Speed, rear.TimeS - front.TimeS, 0.003);
        }
    }

    [Fact]
    public void A_jolt_after_which_the_load_stays_up_is_braking_and_not_a_kerb()
    {
        // At 40 m/s the longest kerb of 12 m takes 0.3 s: a load that jumps within 15 ms and stays up for 0.5 s is none, one of 0.1 s may be.
        static double Jolt(double t, double lengthS) => 3000 * Math.Clamp((t - 20) / 0.015, 0, 1) * Math.Clamp((20 + lengthS - t) / 0.015, 0, 1);
        Assert.Empty(Find((corner, t) => corner == Corner.FrontLeft ? Jolt(t, 0.5) : 0).Strikes);
        Assert.Single(Find((corner, t) => corner == Corner.FrontLeft ? Jolt(t, 0.1) : 0).Strikes);
    }

    [Fact]
    public void Peak_length_rise_and_impulse_of_a_half_sine_are_those_of_the_formula()
    {
        // On a quiet road the pulse alone is measured. By hand: impulse 2 H T / pi; steepest slope pi H / T; length T.
        const double Height = 4000;
        const double Length = 0.04;
        WheelLoadSet wheels = LoadRuns.Of(
            TestCars.Plain(),
            Time,
            (corner, t) => 4000 + (0.05 * Road(corner, t)) + Kerb(corner, t, Height, Length),
            (corner, t) => Kerb(corner, t, Height, Length) / 200_000);
        KerbStrike strike = KerbStrikes.From(wheels, KerbOptions.Default).Strikes[0];
        Assert.Equal(8000, strike.PeakLoadN, 20.0);
        Assert.Equal(Height, strike.DynamicPeakN, 25.0);
        Assert.Equal(Length, strike.DurationS, 0.001);
        Assert.Equal(2 * Height * Length / Math.PI, strike.ImpulseNs, 3.0);
        Assert.Equal(Math.PI * Height / Length, strike.RiseRateNps, 0.02 * Math.PI * Height / Length);
        
        // The damper's velocity is taken over 6 ms, the first 6 ms of the pulse being the fastest: H sin(pi 6 / 40) / 6 ms over 200 kN/m.
        Assert.Equal(Height * Math.Sin(Math.PI * 6 / 40) / 0.006 / 200_000, strike.DamperVelocityMps, 0.01);
        Assert.Equal(UnderRead.Worst(0.001, strike.DurationS), strike.WorstUnderReadShare);
        Assert.False(strike.IsLowerBound);
    }

    [Fact]
    public void The_quiet_road_alone_makes_no_strike() => Assert.Empty(Find((_, _) => 0).Strikes);

    [Fact]
    public void Braking_and_turning_in_make_no_strike()
    {
        // A load that changes by 3 kN within 0.25 s, as under braking, and falls back as fast.
        KerbResult result = Find((_, t) => 1500 * (Math.Tanh(((t % 15) - 5) / 0.12) - Math.Tanh(((t % 15) - 7) / 0.12)));
        Assert.Empty(result.Strikes);
    }

    [Fact]
    public void A_strike_does_not_pull_up_the_load_that_it_is_measured_from()
    {
        // The longest kerb: 0.4 s of ribs. Its height above the quasi-static part is within a scatter of the true 5 kN.
        KerbResult result = Find((corner, t) => corner == Corner.FrontRight && t % 60 is > 30 and < 30.4 ? 2500 * (1 - Math.Cos(2 * Math.PI * ((t % 60) - 30) / 0.05)) : 0);
        Assert.Equal(3, result.Strikes.Length);
        Assert.All(result.Strikes, strike => Assert.Equal(5000, strike.DynamicPeakN, 2 * result.QuietScatterN.FrontRight));
    }

    [Fact]
    public void Ribs_of_one_kerb_are_one_strike_of_each_wheel()
    {
        KerbResult result = Find((corner, t) => corner == Corner.FrontLeft ? Enumerable.Range(0, 5).Sum(rib => Pulse(t, 20 + (0.045 * rib), 0.03, 3000)) : 0);
        Assert.Single(result.Strikes);
    }

    [Fact]
    public void What_the_other_wheel_hands_across_is_no_strike_of_its_own()
    {
        KerbResult result = Find((corner, t) => Kerb(corner, t) + (corner.IsLeft() ? 0 : 0.3 * Kerb((Corner)((int)corner ^ 1), t)));
        Assert.All(result.Strikes, strike => Assert.True(strike.Corner.IsLeft()));
    }

    [Fact]
    public void A_weak_rear_strike_counts_where_the_front_wheel_struck_a_wheelbase_before()
    {
        KerbResult result = Find((corner, t) => Kerb(corner, t, corner.Axle() == Axle.Front ? 4000 : 600));
        Assert.Equal(3, result.Strikes.Count(strike => strike.Corner == Corner.RearLeft));
    }

    [Fact]
    public void Mirrored_loads_give_mirrored_strikes()
    {
        KerbResult result = Find((corner, t) => Kerb(corner, t));
        WheelLoadSet mirrored = LoadRuns.Of(
            TestCars.Plain(),
            Time,
            (corner, t) => 4000 + Road((Corner)((int)corner ^ 1), t) + Kerb((Corner)((int)corner ^ 1), t),
            (corner, t) => (Road((Corner)((int)corner ^ 1), t) + Kerb((Corner)((int)corner ^ 1), t)) / 200_000);
        KerbResult other = KerbStrikes.From(mirrored, KerbOptions.Default);
        Assert.Equal(result.Strikes.Select(strike => strike.PeakLoadN), other.Strikes.Select(strike => strike.PeakLoadN));
        Assert.All(other.Strikes, strike => Assert.False(strike.Corner.IsLeft()));
    }

    [Fact]
    public void A_lone_sample_is_no_strike()
    {
        KerbResult result = Find((corner, t) => corner == Corner.FrontLeft && Math.Abs((t % 10) - 5) < 2e-4 ? 9000 : 0);
        Assert.Empty(result.Strikes);
    }

    [Fact]
    public void At_standstill_there_is_no_strike() => Assert.Empty(Find((corner, t) => Kerb(corner, t), speed: _ => 0).Strikes);

    [Fact]
    public void A_gap_is_no_strike_and_a_gap_within_one_makes_its_peak_a_lower_bound()
    {
        Assert.Empty(Find((_, t) => t % 10 is > 3 and < 3.2 ? double.NaN : 0).Strikes);
        KerbResult cut = Find((corner, t) => corner == Corner.FrontLeft && t is > 20.018 and < 20.022 ? double.NaN : Kerb(corner, t));
        Assert.True(cut.Strikes.First(strike => strike.Corner == Corner.FrontLeft).IsLowerBound);
    }

    [Fact]
    public void A_cell_at_its_range_limit_makes_the_peak_a_lower_bound()
    {
        CarDefinition car = TestCars.Plain();
        car = car with { Channels = [.. car.Channels.Select(mapping => mapping.Role <= ChannelRole.PushrodLoadRR ? mapping with { Range = (-7000, 7000) } : mapping)] };
        WheelLoadSet wheels = LoadRuns.Of(car, Time, (corner, t) => Math.Min(7000, 4000 + Road(corner, t) + Kerb(corner, t)));
        KerbResult result = KerbStrikes.From(wheels, KerbOptions.Default);
        Assert.NotEmpty(result.Strikes);
        Assert.All(result.Strikes, strike => Assert.True(strike.IsLowerBound));
    }

    [Fact]
    public void The_component_that_comes_nearest_to_its_limit_is_named_with_its_margin()
    {
        CarDefinition car = LoadRuns.CarWith(
            LoadRuns.Pushrod("easy") with { CompressionLimitN = 20_000 },
            LoadRuns.Pushrod("hard", 2) with { CompressionLimitN = 10_000 },
            LoadRuns.Pushrod("elsewhere", 9, Corner.RearRight));
        KerbResult result = Find((corner, t) => Kerb(corner, t), car);
        KerbStrike strike = result.Strikes.First(s => s.Corner == Corner.FrontLeft);
        Assert.Equal("hard", strike.WorstComponent);

        // By hand: 10 kN over twice the peak, less 1.
        Assert.Equal((10_000 / (2 * strike.PeakLoadN)) - 1, strike.MarginOfSafety, 1e-9);
        Assert.True(strike.ExceedsLimit);
        Assert.Equal(3, result.Kerbs[0].Exceedances);
    }

    [Fact]
    public void Low_passed_loads_are_refused_with_the_reason()
    {
        WheelLoadSet wheels = LoadRuns.Of(TestCars.Plain(), TimeBase.Even(0, 0.001, 1000), (_, _) => 0, isLowPassed: true);
        KerbResult result = KerbStrikes.From(wheels, KerbOptions.Default);
        Assert.Contains("low-passed", result.WithheldBecause, StringComparison.Ordinal);
        Assert.Empty(result.Strikes);
    }

    [Fact]
    public void Without_a_zero_heights_are_given_and_loads_are_not()
    {
        WheelLoadSet wheels = LoadRuns.Of(TestCars.Plain(), Time, (corner, t) => 4000 + Road(corner, t) + Kerb(corner, t), noZero: "There was no standstill.");
        KerbStrike strike = KerbStrikes.From(wheels, KerbOptions.Default).Strikes[0];
        Assert.True(double.IsNaN(strike.PeakLoadN));
        Assert.InRange(strike.DynamicPeakN, 3500, 4500);
    }

    [Fact]
    public void A_slow_log_still_finds_the_strikes_and_owns_up_to_what_it_can_have_missed()
    {
        KerbResult result = Find((corner, t) => Kerb(corner, t, lengthS: 0.06), rateHz: 200);
        Assert.Equal(6, result.Strikes.Length);
        Assert.All(result.Strikes, strike => Assert.True(4000 * (1 - strike.WorstUnderReadShare) < strike.DynamicPeakN + 400));
        Assert.All(result.Strikes, strike => Assert.InRange(strike.WorstUnderReadShare, 0.005, 0.02));
    }

    // Formula 1 - cos(pi dt / 2T) with mpmath (Data/signal/PEAKS_SOURCE.md); 1e-12, the rounding of a cosine near 1.
    [Fact]
    public void The_worst_under_read_of_a_half_sine_is_that_of_exact_arithmetic()
    {
        foreach (string[] row in PublishedData.Rows("signal", "half_sine_worst_under_read.csv"))
        {
            Assert.Equal(PublishedData.Number(row[2]), UnderRead.Worst(1 / PublishedData.Number(row[1]), PublishedData.Number(row[0])), 1e-12);
        }
    }

    [Fact]
    public void No_sampling_of_a_half_sine_misses_more_than_the_worst_under_read() =>
        Gen.Select(Gen.Double[0.002, 0.2], Gen.Double[0.05, 0.99], Gen.Double[0, 1]).Sample(
            (length, stepShare, phase) =>
            {
                double step = length * stepShare;
                double highest = 0;
                for (double t = phase * step; t < length; t += step)
                {
                    highest = Math.Max(highest, Math.Sin(Math.PI * t / length));
                }

                Assert.True(1 - highest <= UnderRead.Worst(step, length) + 1e-12);
            },
            seed: "0000KOIkZbA5");

    [Fact]
    public void Running_medians_follow_a_ramp_exactly_and_do_not_see_a_short_pulse()
    {
        double[] ramp = [.. Enumerable.Range(0, 4000).Select(i => 3.0 * i)];
        double[] dynamic = new double[ramp.Length];
        QuasiStaticLoad.Of([.. ramp], 0.001, 0.02, 1).Subtract(ramp, 0, dynamic);
        Assert.All(dynamic[600..3400], value => Assert.Equal(0, value, 1e-9));

        double[] pulse = [.. Enumerable.Range(0, 4000).Select(i => i is >= 2000 and < 2400 ? 1000.0 : 0)];
        QuasiStaticLoad.Of([.. pulse], 0.001, 0.02, 1).Subtract(pulse, 0, dynamic);
        Assert.Equal(pulse, dynamic);
    }
}
