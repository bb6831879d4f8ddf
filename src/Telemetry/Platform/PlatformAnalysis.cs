using System.Collections.Immutable;
using Telemetry.Aero;
using Telemetry.Car;
using Telemetry.Runs;
using Telemetry.WheelLoads;

namespace Telemetry.Platform;

/// <summary>How the platform behaves on the road.</summary>
public static class PlatformAnalysis
{
    /// <summary>Ride height and rake against speed, third elements, roll share and damper velocity.</summary>
    /// <param name="wheels">Wheel loads and travel.</param>
    /// <param name="aero">The straight passes and their quasi-steady windows.</param>
    /// <param name="options">Bands and limits.</param>
    public static PlatformResult From(WheelLoadSet wheels, AeroResult aero, PlatformOptions options)
    {
        ArgumentNullException.ThrowIfNull(wheels);
        ArgumentNullException.ThrowIfNull(aero);
        ArgumentNullException.ThrowIfNull(options);
        Run run = wheels.Run;
        RideHeights heights = RideHeights.From(wheels);
        List<string> notes = [];
        if (!heights.AreKnown)
        {
            notes.Add(char.ToUpperInvariant(heights.Source[0]) + heights.Source[1..] + ".");
        }

        var histograms = new VelocityHistogram?[4];
        (Estimate? FrontPct, string? Why) roll = default;
        ImmutableArray<PlatformAtSpeed> bySpeed = [];
        PlatformDetail? detail = null;
        ThirdElementUse? thirdFront = null, thirdRear = null;
        Workers.Steps(
            () => Workers.Run(4, c => histograms[c] = DamperVelocity.Histogram(run, wheels.Pushrods.DamperTravelM[(Corner)c], options)),
            () => roll = options.NoRollShareBecause is { } why ? (null, $"The roll share is withheld. {why}") : RollShare.From(wheels, options),
            () => bySpeed = heights.AreKnown ? BySpeed(run, heights, aero, options) : [],
            () => thirdFront = ThirdElements.From(wheels, aero, Axle.Front, options),
            () => thirdRear = ThirdElements.From(wheels, aero, Axle.Rear, options),
            () => detail = Detail(wheels, aero, options));
        if (roll.Why is not null)
        {
            notes.Add(roll.Why);
        }

        if (heights.AreKnown && bySpeed.IsEmpty)
        {
            notes.Add(FormattableString.Invariant($"No band of speed has {options.FewestPasses} straight passes, so ride height against speed is not given."));
        }

        return new PlatformResult
        {
            BySpeed = bySpeed,
            RideHeightSource = heights.Source,
            RollMomentFrontPct = roll.FrontPct,
            Third = new(thirdFront, thirdRear),
            DamperVelocity = PerCorner.Of(corner => histograms[(int)corner]),
            Notes = [.. notes],
            Detail = detail,
        };
    }

    private static PlatformDetail? Detail(WheelLoadSet wheels, AeroResult aero, PlatformOptions options)
    {
        if (wheels.Pushrods.WithheldBecause is not null || PlatformBlocks.Of(wheels, aero, options) is not { Quiet.Length: > 0 } blocks)
        {
            return null;
        }

        ImmutableArray<ModeStiffness> stiffness = ModeStiffnesses.From(blocks);
        return new PlatformDetail
        {
            Knee = new(RubberKnees.From(blocks, aero, Axle.Front), RubberKnees.From(blocks, aero, Axle.Rear)),
            Stiffness = stiffness,
            Transfer = LateralTransfers.From(blocks, stiffness, options.NoRollShareBecause),
            Lowest = new(LowestHeights.Of(wheels, blocks, Axle.Front, options), LowestHeights.Of(wheels, blocks, Axle.Rear, options)),
            Notes = [],
        };
    }

    /// <summary>First and one past the last sample of a quasi-steady window.</summary>
    internal static (int From, int To) SamplesOf(Run run, QuasiSteadyWindow window, PlatformOptions options)
    {
        int from = (int)Math.Round((window.TimeS - (options.WindowS / 2) - run.Clock.StartS) / run.Clock.StepS);
        int to = from + (int)Math.Round(options.WindowS / run.Clock.StepS);
        return (Math.Clamp(from, 0, run.Count), Math.Clamp(to, 0, run.Count));
    }

    private static ImmutableArray<PlatformAtSpeed> BySpeed(Run run, RideHeights heights, AeroResult aero, PlatformOptions options)
    {
        SortedDictionary<int, SortedDictionary<int, PassSums>> bands = [];
        foreach (QuasiSteadyWindow window in aero.Windows.Where(window => window.RejectedBecause is null && window.Pass > 0))
        {
            (int from, int to) = SamplesOf(run, window, options);
            double front = heights.HeightM.Front.MeanOfFinite(from, to);
            double rear = heights.HeightM.Rear.MeanOfFinite(from, to);
            if (!double.IsFinite(front + rear))
            {
                continue;
            }

            int band = (int)Math.Floor(window.SpeedMps / options.BandMps);
            if (!bands.TryGetValue(band, out SortedDictionary<int, PassSums>? passes))
            {
                bands[band] = passes = [];
            }

            passes[window.Pass] = passes.GetValueOrDefault(window.Pass).Plus(front, rear);
        }

        double wheelbase = run.Car.Geometry.WheelbaseM.Value;
        ImmutableArray<PlatformAtSpeed>.Builder result = ImmutableArray.CreateBuilder<PlatformAtSpeed>();
        foreach ((int band, SortedDictionary<int, PassSums> passes) in bands)
        {
            if (passes.Count < options.FewestPasses)
            {
                continue;
            }

            double[] front = [.. passes.Values.Select(sums => sums.Front / sums.Count)];
            double[] rear = [.. passes.Values.Select(sums => sums.Rear / sums.Count)];
            double[] rake = [.. front.Select((height, i) => (rear[i] - height) / wheelbase)];
            result.Add(new PlatformAtSpeed((band + 0.5) * options.BandMps, PassMean.Of(front)!, PassMean.Of(rear)!, PassMean.Of(rake)!, passes.Count));
        }

        return result.ToImmutable();
    }

    private readonly record struct PassSums(double Front, double Rear, int Count)
    {
        public PassSums Plus(double front, double rear) => new(Front + front, Rear + rear, Count + 1);
    }
}
