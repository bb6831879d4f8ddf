using System.Collections.Immutable;
using Telemetry.Car;
using Telemetry.Fatigue;
using Telemetry.Health;
using Telemetry.Kerbs;
using Telemetry.Platform;
using Telemetry.Runs;
using Telemetry.WheelLoads;

namespace Telemetry.Tests.Output;

/// <summary>Health, platform, strikes and fatigue that fit the signals closely enough to be looked at.</summary>
internal static class SampleResults
{
    public static RunHealth Health(SampleOptions options) => new(HealthVerdict.Doubtful,
    [
        new(options.NamePrefix + "AccelerationY", "gap", HealthVerdict.Doubtful, 61.0, 62.6, "No value for 1.6 s.", "Two windows were lost.", "Check the connector."),
        new(options.NamePrefix + "PushrodLoadFL", "range_limit", HealthVerdict.Doubtful, 88.2, 88.24, "Stood at 30 kN for 12 samples.", "The peak is a lower bound.", "Use a cell with more range."),
        new(options.NamePrefix + "AccelerationX", "stuck", HealthVerdict.Doubtful, 120, 131, "Did not move for 11 s.", "Windows in this span were not used.", "Check the amplifier."),
        new(options.NamePrefix + "PushrodLoadRR", "drift", HealthVerdict.Doubtful, double.NaN, double.NaN, "The zero moved by 11 N.", "Added to the interval.", "Log the cell's temperature."),
        new("log", "note", HealthVerdict.Good, 0, 4, "Standstill at the start.", "Used for the zero.", "Nothing."),
    ]);

    public static KerbResult Kerbs(SampleSignals signals, WheelLoadSet wheels)
    {
        List<KerbStrike> strikes = [];
        foreach (PlacedStrike placed in signals.Strikes)
        {
            SampleSource load = wheels.Pushrods.PushrodLoadN[placed.Corner];
            int from = Math.Max(0, placed.Index - 20), to = Math.Min(load.Length, placed.Index + 20);
            (int at, double peak, double low) = (from, double.MinValue, double.MaxValue);
            for (int i = from; i < to; i++)
            {
                (at, peak) = load[i] > peak ? (i, load[i]) : (at, peak);
                low = Math.Min(low, load[i]);
            }

            int kerb = placed.DistanceM switch { > 1_600 and < 1_800 => 1, > 1_000 and < 1_600 => 2, < 1_000 => 3, _ => 4 };
            strikes.Add(new KerbStrike
            {
                Number = strikes.Count + 1,
                Corner = placed.Corner,
                Lap = placed.Lap,
                TimeS = wheels.Run.Clock.At(at),
                DistanceM = signals.DistanceM[at],
                SpeedMps = signals.SpeedMps[at],
                PeakLoadN = peak,
                WorstUnderReadShare = 0.004,
                LowestLoadN = low,
                DynamicPeakN = placed.AddedN / SampleCar.InstallationRatio(placed.Corner),
                RiseRateNps = 1.1e6,
                DurationS = 0.024,
                ImpulseNs = placed.AddedN * 0.016,
                DamperVelocityMps = 0.31,
                IsLowerBound = peak > 26_000,
                PairedWith = 0,
                Kerb = kerb,
                WorstComponent = wheels.Run.Car.Components[(int)placed.Corner].Id,
                MarginOfSafety = (SampleCar.CompressionLimitN / peak) - 1,
            });
        }

        ImmutableArray<Kerb> kerbs = [.. strikes.GroupBy(s => s.Kerb).OrderBy(g => g.Key).Select(g =>
        {
            KerbStrike worst = g.MaxBy(s => s.PeakLoadN)!;
            return new Kerb(g.Key, worst.DistanceM, worst.Corner.IsLeft(), g.Count(), g.Select(s => s.Lap).Distinct().Count(),
                worst.PeakLoadN, worst.Corner, g.Count(s => s.ExceedsLimit));
        })];
        return new KerbResult
        {
            Strikes = [.. strikes],
            Kerbs = kerbs,
            ThresholdN = PerCorner.Of(_ => 2_400.0),
            QuietScatterN = PerCorner.Of(_ => 480.0),
            WithheldBecause = null,
        };
    }

    public static PlatformResult Platform(SampleSignals signals, SampleOptions options) => new()
    {
        BySpeed = !options.HasDampers ? [] : [.. Enumerable.Range(0, 12).Select(i =>
        {
            double v = (105 + (15 * i)) / 3.6;
            double front = 0.030 - (2.4e-6 * v * v), rear = 0.055 - (4.6e-6 * v * v), rake = (rear - front) / SampleCar.WheelbaseM;
            return new PlatformAtSpeed(v, new(front, front - 0.0006, front + 0.0006), new(rear, rear - 0.0009, rear + 0.0009),
                new(rake, rake - 0.00035, rake + 0.00035), 6);
        })],
        RideHeightSource = "damper travel and static ride height; tyre deflection not included",
        RollMomentFrontPct = new(56.2, 55.1, 57.3),
        Third = new(null, null),
        DamperVelocity = PerCorner.Of(corner => options.HasDampers ? Histogram(signals.WheelTravelM[corner], options.RateHz) : null),
        Notes = [],
    };

    private static VelocityHistogram Histogram(double[] travel, double rateHz)
    {
        double[] shares = new double[80];
        for (int i = 1; i < travel.Length; i++)
        {
            double velocity = (travel[i] - travel[i - 1]) * 0.75 * rateHz;
            shares[Math.Clamp((int)Math.Floor((velocity + 0.4) / 0.01), 0, 79)] += 1.0 / (travel.Length - 1);
        }

        return new(-0.4, 0.01, SampleSignals.Freeze(shares), 0.5);
    }

    public static FatigueResult Fatigue(Run run, WheelLoadSet wheels, SampleOptions options) => new()
    {
        Components = [.. run.Car.Components.Select((component, i) => Component(component, i, run, wheels, options))],
        WithheldBecause = null,
    };

    private static ComponentResult Component(ComponentDefinition component, int index, Run run, WheelLoadSet wheels, SampleOptions options)
    {
        SampleSource load = wheels.Pushrods.PushrodLoadN[component.Corner!.Value];
        double factor = component.Load[0].Factor;
        double peak = double.MinValue, low = double.MaxValue;
        foreach (double value in load)
        {
            peak = Math.Max(peak, factor * value);
            low = Math.Min(low, factor * value);
        }

        CycleCount cycles = Cycles(new Random((options.Seed * 100) + index), Math.Abs(factor), peak, run.Count, options.Cycles);
        double[] byLap = new double[run.Laps.Laps.Length];
        for (int i = 0; i < cycles.Count; i++)
        {
            double damage = cycles.Weight[i] * Math.Pow(Math.Abs(cycles.ToN[i] - cycles.FromN[i]) / 9_000, 6) / 1e6;
            byLap[run.Laps.At(cycles.FromIndex[i]).Number - 1] += damage / 2;
            byLap[run.Laps.At(cycles.ToIndex[i]).Number - 1] += damage / 2;
        }

        double total = byLap.Sum();
        return new ComponentResult
        {
            Component = component,
            PeakCompressionN = Math.Max(0, peak),
            PeakTensionN = Math.Max(0, -low),
            PeakCompressionS = 88.2,
            PeakTensionS = low < 0 ? 12 : double.NaN,
            PeakIsLowerBound = false,
            MarginOfSafety = (component.CompressionLimitN!.Value / Math.Max(peak, 1)) - 1,
            Cycles = cycles,
            ResidueN = [2_000, peak, 1_500],
            DamageRun = total,
            DamageByCycle = [.. Enumerable.Repeat(total / Math.Max(1, cycles.Count), cycles.Count)],
            Spread = new(total * 0.93, total * 1.02, total * 0.88, total * 1.14),
            DamageByLap = SampleSignals.Freeze(byLap),
            DamageBefore = 0.01 * (index + 1),
            EquivalentRangeN = 9_000 * Math.Pow(total, 1.0 / 6),
            LifeUsedPct = 100 * ((0.01 * (index + 1)) + total),
            Verdict = peak > component.CompressionLimitN ? ComponentVerdict.Retire : peak > component.InspectionThresholdN ? ComponentVerdict.Inspect : ComponentVerdict.Run,
            Reasons = ["A made-up component for tests of what is shown."],
        };
    }

    private static CycleCount Cycles(Random random, double factor, double peak, int samples, int count)
    {
        double[] from = new double[count], to = new double[count], weight = new double[count];
        int[] fromIndex = new int[count], toIndex = new int[count];
        for (int i = 0; i < count; i++)
        {
            double range = Math.Min(factor * -1_400 * Math.Log(1 - random.NextDouble()), 0.9 * Math.Max(peak, 9_000));
            double mean = Math.Sign(peak) * factor * (2_500 + (5_500 * random.NextDouble()));
            bool rising = random.Next(2) == 0;
            (from[i], to[i]) = rising ? (mean - (range / 2), mean + (range / 2)) : (mean + (range / 2), mean - (range / 2));
            fromIndex[i] = random.Next(samples - 60);
            toIndex[i] = fromIndex[i] + 1 + random.Next(50);
            weight[i] = i > count - 20 ? 0.5 : 1;
        }

        return new(SampleSignals.Freeze(from), SampleSignals.Freeze(to),
            ImmutableArray.Create(fromIndex), ImmutableArray.Create(toIndex), SampleSignals.Freeze(weight));
    }
}
