using MathNet.Numerics.Distributions;

namespace Telemetry.Health;

/// <summary>A reading that changes only every k-th sample: a slower channel written at a faster rate with its last value held.</summary>
/// <remarks>
/// Changes at random places share one remainder modulo k with chance 1/k each. The number that does is then binomial; the finding is made where chance makes
/// so many less often than <see cref="HealthOptions.ChanceOfFalseAlarm"/>, and nearly all changes share it.
/// </remarks>
internal static class SlowReading
{
    /// <summary>Share of changes that must keep step: a few fall between when the two clocks slip.</summary>
    private const double InStepShare = 0.9;

    private const int FewestChanges = 12;
    private const int MostChanges = 20_000;
    private const int LongestHold = 20_000;

    public static HealthFinding? Find(ChannelView view, EqualRuns equal)
    {
        if (equal.EqualShare < 0.45)
        {
            return null;
        }

        List<int> changes = Changes(view);
        int every = MostCommonStep(changes);
        if (changes.Count < FewestChanges || every < 2)
        {
            return null;
        }

        int[] remainders = new int[every];
        foreach (int at in changes)
        {
            remainders[at % every]++;
        }

        int inStep = remainders.Max();
        if (inStep < InStepShare * changes.Count
            || 1 - Binomial.CDF(1.0 / every, changes.Count, inStep - 1) > view.Options.ChanceOfFalseAlarm / every)
        {
            return null;
        }

        bool isFast = view.Family is ChannelFamily.Load or ChannelFamily.Travel;
        double hz = view.RateHz / every;
        return view.Finding(
            "slow_reading",
            isFast ? HealthVerdict.Doubtful : HealthVerdict.Good,
            FormattableString.Invariant($"It changes only every {every} samples: a reading of {hz:0.##} Hz written at {view.RateHz:0.#} Hz."),
            FormattableString.Invariant($"Find where it is read at {hz:0.##} Hz (sensor message, export) and log it with blanks between its readings, or at its full rate."),
            isFast ? "Peaks, strikes and load cycles between its readings are lost. " + MissingChannels.AnswersOf(view.Channel.Role) : null);
    }

    private static List<int> Changes(ChannelView view)
    {
        ReadOnlySpan<double> samples = view.Samples;
        List<int> changes = [];
        foreach (SampleSpan span in view.Running)
        {
            for (int i = span.First + 1; i < span.End && changes.Count < MostChanges; i++)
            {
                if (samples[i] != samples[i - 1] && double.IsFinite(samples[i]) && double.IsFinite(samples[i - 1]))
                {
                    changes.Add(i);
                }
            }
        }

        return changes;
    }

    private static int MostCommonStep(List<int> changes)
    {
        Dictionary<int, int> counts = [];
        for (int i = 1; i < changes.Count; i++)
        {
            int step = changes[i] - changes[i - 1];
            if (step <= LongestHold)
            {
                counts[step] = counts.GetValueOrDefault(step) + 1;
            }
        }

        int most = 0;
        int common = 0;
        foreach ((int step, int count) in counts)
        {
            if (count > most || (count == most && step < common))
            {
                (most, common) = (count, step);
            }
        }

        return common;
    }
}
