using System.Collections.Immutable;

namespace Telemetry.Aero;

/// <summary>Makes a ride-height map from the straight passes of one run or of several.</summary>
public static class RideHeightMapping
{
    private const double MostlyRear = 1e-3;

    /// <summary>The map of some runs of one car.</summary>
    /// <param name="runs">The runs; they share the lift areas and differ in static heights, wind, air, fuel and zeros.</param>
    /// <param name="options">Smoothing, support and what is still given.</param>
    /// <param name="aeroOptions">What the aero estimates were made with: the assumed wind, fuel and accelerometer uncertainties are the same here.</param>
    /// <returns>The map; with the reason where the runs do not carry one.</returns>
    public static RideHeightMap From(IReadOnlyList<RunOnMap> runs, RideHeightMapOptions options, AeroOptions? aeroOptions = null)
    {
        ArgumentNullException.ThrowIfNull(runs);
        ArgumentNullException.ThrowIfNull(options);
        if (runs.Count == 0)
        {
            return RideHeightMap.Withheld("There is no run to make a map from.");
        }

        MapRows rows = new();
        foreach (RunOnMap run in runs)
        {
            if (rows.Add(run, aeroOptions ?? AeroOptions.Default) is { } why)
            {
                return RideHeightMap.Withheld(runs.Count == 1 ? why : $"{run.Name}: {why}", rows.HeightSource, runs.Count, rows.Passes);
            }
        }

        if (runs.Count > 1 && !rows.AreAbsolute)
        {
            return RideHeightMap.Withheld("Several runs make one map only if the setup sheets give the static ride heights, or sensors read them.", rows.HeightSource, runs.Count, rows.Passes);
        }

        if (rows.Passes < options.FewestPasses)
        {
            return RideHeightMap.Withheld(FormattableString.Invariant($"The map needs {options.FewestPasses} straight passes; there are {rows.Passes}."), rows.HeightSource, runs.Count, rows.Passes);
        }

        return MapFit.Of(rows, options) is { } fit
            ? Made(runs, rows, fit, options)
            : RideHeightMap.Withheld("The straight passes do not determine how the lift areas hang on the ride heights.", rows.HeightSource, runs.Count, rows.Passes);
    }

    private static RideHeightMap Made(IReadOnlyList<RunOnMap> runs, MapRows rows, MapFit fit, RideHeightMapOptions options)
    {
        MapSurface surface = fit.Surface;
        HeightPair[] reached = Reached(rows.Rows, fit.Heights, options);
        MapSupport support = MapSupport.Of(reached, options.MarginM, surface);
        if (support.Hull.Length == 0)
        {
            return RideHeightMap.Withheld(FormattableString.Invariant($"No ride height was reached by {options.FewestPassesNear} straight passes."), rows.HeightSource, runs.Count, rows.Passes);
        }

        HeightPair[] steady = [.. Enumerable.Range(0, runs.Count).Select(run => fit.HeightsAt(run, rows.Targets[run]))];
        HeightPair reference = new(steady.Average(h => h.FrontM), steady.Average(h => h.RearM));
        double across = AcrossM(fit.Heights);
        (double perFront, double perRear) = SpeedLine(rows, fit);
        double ratio = Math.Abs(perFront) > MostlyRear * Math.Abs(perRear) ? perRear / perFront : double.NaN;
        string what = runs.Count == 1
            ? FormattableString.Invariant($"in this one run front and rear ride heights moved almost along one line ({1000 * across:0.0} mm standard deviation across it); laps at other static ride heights, with the rake changed by some millimetres, would tell")
            : FormattableString.Invariant($"the ride heights of these {runs.Count} runs lie {1000 * across:0.0} mm (standard deviation) about one line; more laps, or static rakes further apart, would tell");
        ImmutableArray<string>.Builder notes = ImmutableArray.CreateBuilder<string>();
        notes.Add(FormattableString.Invariant($"Heights from {rows.HeightSource}. A pass that is left out of the fit is met within {100 * fit.LeftOutErrorShare:0.0} % of its load (root mean square). Curvature of {100 * fit.CurvatureShare:0.000} % per mm2 was chosen by leaving one pass out; what other choices as good would change is in the intervals."));
        if (!rows.AreAbsolute)
        {
            notes.Add("Heights are changes from standstill: neither sensors nor the setup sheet say how high the car stands.");
        }

        return new RideHeightMap
        {
            WithheldBecause = null,
            HeightSource = rows.HeightSource,
            HeightsAreAbsolute = rows.AreAbsolute,
            Points = [.. rows.Rows.Select((row, i) => new MapPoint(row.Run, row.PassInRun, row.SpeedMps, fit.Heights[i], row.FrontN / row.PressurePa, row.RearN / row.PressurePa))],
            Region = support.Hull,
            Reference = reference,
            AtReference = support.WhyNot(reference, surface) is null ? surface.At(reference) : null,
            PerFrontHeight = Sensitivity(surface, reference, 1, 0, what, options),
            PerRearHeight = Sensitivity(surface, reference, 0, 1, what, options),
            PerRake = Sensitivity(surface, reference, -0.5, 0.5, what, options),
            AlongSpeedLine = double.IsNaN(ratio) ? null : Sensitivity(surface, reference, 1, ratio, what, options),
            RearPerFrontAlongSpeedLine = ratio,
            SpreadAcrossM = across,
            Runs = runs.Count,
            Passes = rows.Passes,
            LeftOutErrorShare = fit.LeftOutErrorShare,
            Notes = notes.ToImmutable(),
            Surface = surface,
            Support = support,
        };
    }

    /// <summary>Heights that enough passes came close to.</summary>
    private static HeightPair[] Reached(IReadOnlyList<MapRow> rows, IReadOnlyList<HeightPair> heights, RideHeightMapOptions options)
    {
        List<HeightPair> reached = [];
        HashSet<int> near = [];
        double radius = options.NeighbourM * options.NeighbourM;
        for (int i = 0; i < rows.Count; i++)
        {
            near.Clear();
            for (int j = 0; j < rows.Count && near.Count < options.FewestPassesNear; j++)
            {
                double front = heights[j].FrontM - heights[i].FrontM;
                double rear = heights[j].RearM - heights[i].RearM;
                if ((front * front) + (rear * rear) <= radius)
                {
                    near.Add(rows[j].Pass);
                }
            }

            if (near.Count >= options.FewestPassesNear)
            {
                reached.Add(heights[i]);
            }
        }

        return [.. reached];
    }

    /// <summary>Direction of the line that speed draws at the reference speeds, from one twentieth less to one more of the dynamic pressure; mean over the runs.</summary>
    private static (double PerFront, double PerRear) SpeedLine(MapRows rows, MapFit fit)
    {
        const double Part = 0.05;
        double front = 0;
        double rear = 0;
        for (int run = 0; run < rows.Targets.Count; run++)
        {
            HeightTarget target = rows.Targets[run];
            HeightPair slower = fit.HeightsAt(run, target with { PressurePa = (1 - Part) * target.PressurePa });
            HeightPair faster = fit.HeightsAt(run, target with { PressurePa = (1 + Part) * target.PressurePa });
            front += slower.FrontM - faster.FrontM;
            rear += slower.RearM - faster.RearM;
        }

        return (front, rear);
    }

    /// <summary>Standard deviation of the heights across the direction in which they spread most, m.</summary>
    private static double AcrossM(IReadOnlyList<HeightPair> heights)
    {
        double front = heights.Average(h => h.FrontM);
        double rear = heights.Average(h => h.RearM);
        double ff = heights.Average(h => (h.FrontM - front) * (h.FrontM - front));
        double rr = heights.Average(h => (h.RearM - rear) * (h.RearM - rear));
        double fr = heights.Average(h => (h.FrontM - front) * (h.RearM - rear));
        double half = double.Hypot((ff - rr) / 2, fr);
        return Math.Sqrt(Math.Max(0, ((ff + rr) / 2) - half));
    }

    private static MapSensitivity Sensitivity(MapSurface surface, HeightPair at, double perFront, double perRear, string what, RideHeightMapOptions options)
    {
        (Estimate front, Estimate rear, Estimate total, Estimate balance) = surface.Slope(at, perFront, perRear);
        (double frontArea, double rearArea) = surface.Value(at);
        double size = Math.Max(Math.Abs(perFront), Math.Abs(perRear));
        Estimate? f = Given(front, options.WidestSharePerMm * 1000 * Math.Abs(frontArea) * size);
        Estimate? r = Given(rear, options.WidestSharePerMm * 1000 * Math.Abs(rearArea) * size);
        Estimate? t = Given(total, options.WidestSharePerMm * 1000 * Math.Abs(frontArea + rearArea) * size);
        Estimate? b = Given(balance, options.WidestBalancePctPerMm * 1000 * size);
        List<string> missing = [];
        Missing(f, "front lift area", 100 * front.HalfWidth / Math.Abs(frontArea) / 1000, "% per mm");
        Missing(r, "rear lift area", 100 * rear.HalfWidth / Math.Abs(rearArea) / 1000, "% per mm");
        Missing(t, "total lift area", 100 * total.HalfWidth / Math.Abs(frontArea + rearArea) / 1000, "% per mm");
        Missing(b, "balance", balance.HalfWidth / 1000, "points per mm");
        return new(f, r, t, b, missing.Count == 0 ? null : $"Known no better than ± {string.Join(", ", missing)}: {what}.");

        static Estimate? Given(Estimate estimate, double widest) => estimate.HalfWidth <= widest ? estimate : null;

        void Missing(Estimate? given, string name, double half, string unit)
        {
            if (given is null)
            {
                missing.Add(FormattableString.Invariant($"{half:0.00} {unit} ({name})"));
            }
        }
    }
}
