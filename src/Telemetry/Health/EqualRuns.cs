namespace Telemetry.Health;

/// <summary>Runs of one repeated number while the car runs, and how long such a run can be by chance.</summary>
/// <remarks>
/// In a live channel the next sample equals the last one with some chance p, set by step, noise and motion; runs of n equal samples then start in N samples
/// about N p^(n-1) times. p is taken from a half second that is among the quietest 3 % of the channel itself, which errs to longer runs being allowed; half seconds without any change are left out,
/// for they may be the fault that is looked for, and a coarse channel has enough others that hardly change.
/// </remarks>
/// <param name="Runs">Runs of at least <see cref="Least"/> equal samples, in order.</param>
/// <param name="Longest">Longest run that chance allows, samples; the largest whole number when the channel rests on numbers too often to tell.</param>
/// <param name="EqualShare">Share of the samples that equal the one before.</param>
internal sealed record EqualRuns(List<SampleSpan> Runs, int Longest, double EqualShare)
{
    /// <summary>Shorter runs are not kept.</summary>
    public const int Least = 6;

    /// <summary>More runs than this are a coarse channel, of which nothing is claimed.</summary>
    private const int Most = 50_000;

    private const double BlockS = 0.5;

    public static EqualRuns Of(ChannelView view)
    {
        ReadOnlySpan<double> samples = view.Samples;
        List<SampleSpan> runs = [];
        List<double> shares = [];
        int block = Math.Max(8, (int)Math.Round(BlockS * view.RateHz / 3));
        long all = 0;
        long equal = 0;
        foreach (SampleSpan span in view.Running)
        {
            // Every third sample and the two after it: a run of six holds such a triple whole, and a third of the pairs tells the share as well.
            int inBlock = 0;
            int pairs = 0;
            int end = span.First;
            for (int i = span.First; i + 2 < span.End; i += 3)
            {
                double value = samples[i];
                if (value == samples[i + 1])
                {
                    inBlock++;
                    if (value == samples[i + 2] && i >= end)
                    {
                        end = Keep(samples, span, i, runs);
                    }
                }

                if (++pairs == block)
                {
                    shares.Add((double)inBlock / block);
                    equal += inBlock;
                    all += block;
                    (inBlock, pairs) = (0, 0);
                }
            }
        }

        return new(runs, LongestByChance(shares, 3 * all, view.Options.ChanceOfFalseAlarm), all == 0 ? 0 : (double)equal / all);
    }

    /// <summary>Follows a run to both sides, keeps it when it is long enough, and tells its end.</summary>
    private static int Keep(ReadOnlySpan<double> samples, SampleSpan span, int inside, List<SampleSpan> runs)
    {
        int start = inside;
        int end = inside + 1;
        while (start > span.First && samples[start - 1] == samples[inside])
        {
            start--;
        }

        while (end < span.End && samples[end] == samples[inside])
        {
            end++;
        }

        if (end - start >= Least && runs.Count < Most)
        {
            runs.Add(new(start, end - start));
        }

        return end;
    }

    private static int LongestByChance(List<double> shares, long count, double chance)
    {
        const double quietest = 0.97;
        const double restsTooOften = 0.97;
        shares.RemoveAll(share => share == 1);
        if (shares.Count == 0)
        {
            return int.MaxValue;
        }

        shares.Sort();
        double p = shares[(int)(quietest * (shares.Count - 1))];
        if (p > restsTooOften)
        {
            return int.MaxValue;
        }

        // A block of so few samples may show no equal pair by luck: one more than was seen in it keeps p above 0.
        p = Math.Max(p, 0.1);
        return Math.Max(Least, 1 + (int)Math.Ceiling(Math.Log(chance / count) / Math.Log(p)));
    }
}
