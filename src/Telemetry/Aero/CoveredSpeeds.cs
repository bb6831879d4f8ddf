using System.Collections.Immutable;

namespace Telemetry.Aero;

/// <summary>The range of speeds that enough passes reach, and the speed of the headline.</summary>
/// <param name="LowestMps">Lowest speed, m/s.</param>
/// <param name="HighestMps">Highest speed, m/s.</param>
internal readonly record struct CoveredSpeeds(double LowestMps, double HighestMps)
{
    private const double RoundStepMps = 10 / 3.6;
    private const double FineStepMps = 1 / 3.6;

    /// <summary>The range that at least the fewest allowed number of passes reaches at both ends.</summary>
    public static CoveredSpeeds Of(ImmutableArray<StraightPass> passes, int fewestPasses)
    {
        double[] lowest = [.. passes.Select(p => p.LowestSpeedMps).Order()];
        double[] highest = [.. passes.Select(p => p.HighestSpeedMps).OrderDescending()];
        int last = Math.Clamp(fewestPasses, 1, passes.Length) - 1;
        return new(lowest[last], highest[last]);
    }

    /// <summary>
    /// A round speed (a multiple of 10 km/h) inside the fastest third of the range, as high as half of the passes still reach it;
    /// where none fits, the highest whole km/h that does.
    /// </summary>
    public double Reference(ImmutableArray<StraightPass> passes)
    {
        double third = LowestMps + ((HighestMps - LowestMps) * 2 / 3);
        double reach = OrderStatistics.Median([.. passes.Select(p => p.HighestSpeedMps)]);
        double top = Math.Clamp(reach, third, HighestMps);
        double round = Math.Floor((top / RoundStepMps) + 1e-9) * RoundStepMps;
        if (round >= third)
        {
            return round;
        }

        // Rounding up may still lie inside the range.
        return round + RoundStepMps <= HighestMps
            ? round + RoundStepMps
            : Math.Floor((top / FineStepMps) + 1e-9) * FineStepMps;
    }

    /// <summary>Speeds of the curve, rising, the ends included.</summary>
    public ImmutableArray<double> Curve(int points)
    {
        ImmutableArray<double>.Builder speeds = ImmutableArray.CreateBuilder<double>(points);
        for (int i = 0; i < points; i++)
        {
            speeds.Add(points == 1 ? HighestMps : LowestMps + ((HighestMps - LowestMps) * i / (points - 1)));
        }

        return speeds.MoveToImmutable();
    }
}
