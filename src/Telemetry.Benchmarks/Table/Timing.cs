using System.Diagnostics;

namespace Telemetry.Benchmarks.Table;

/// <summary>How long something took, s.</summary>
/// <param name="MedianS">Median of the repeats.</param>
/// <param name="BestS">The shortest.</param>
internal readonly record struct Timing(double MedianS, double BestS)
{
    /// <summary>Median and best of some times.</summary>
    /// <param name="seconds">At least one.</param>
    public static Timing Of(IEnumerable<double> seconds)
    {
        double[] sorted = [.. seconds.Order()];
        return new(OrderStatistics.Median(sorted), sorted[0]);
    }

    /// <summary>Runs the contenders in turn, so that a slow moment of the machine meets all of them alike.</summary>
    /// <param name="repeats">Timed calls of each, after calls that are not timed.</param>
    /// <param name="warmUps">Calls of each before: code then has its last form.</param>
    /// <param name="contenders">What is called; what it leaves is given back before the next call.</param>
    /// <returns>One timing a contender, in their order.</returns>
    public static Timing[] InTurn(int repeats, int warmUps, params ReadOnlySpan<Action> contenders)
    {
        double[][] seconds = new double[contenders.Length][];
        for (int contender = 0; contender < contenders.Length; contender++)
        {
            seconds[contender] = new double[repeats];
        }

        for (int repeat = -warmUps; repeat < repeats; repeat++)
        {
            for (int contender = 0; contender < contenders.Length; contender++)
            {
                // Nobody pays for what another left.
                GC.Collect();
                long start = Stopwatch.GetTimestamp();
                contenders[contender]();
                double took = Stopwatch.GetElapsedTime(start).TotalSeconds;
                if (repeat >= 0)
                {
                    seconds[contender][repeat] = took;
                }
            }
        }

        return [.. seconds.Select(Of)];
    }
}
