using MathNet.Numerics.Distributions;

namespace Telemetry.Health;

/// <summary>Peaks that pile up at one value below the end of the range: an amplifier or converter that saturates, hard or softly.</summary>
/// <remarks>
/// The peaks of a continuous signal become rarer towards the highest one. So of the K highest peaks (of blocks of 0.2 s, neighbours joined), those within d of the
/// highest are at most binomial with chance d / (highest - K-th), whatever the signal. The finding is made where so many are less likely than a stated chance.
/// One flat top that is longer than chance allows is enough. d is one step of the numbers and a few more, and the noise at standstill (hard clipping before or after the noise); for load cells also shares of the whole
/// distance (soft clipping), with a chance that leaves room for the same kerb being struck alike on every lap.
/// </remarks>
internal static class Clipping
{
    private const int MostPeaks = 100;
    private const int FewestPeaks = 15;

    public static IEnumerable<HealthFinding> Find(ChannelView view)
    {
        if (view.Family is not (ChannelFamily.Load or ChannelFamily.Travel or ChannelFamily.Acceleration))
        {
            yield break;
        }

        for (int side = 1; side >= -1; side -= 2)
        {
            (double depth, int peaks, bool isSoft) = PileUp(view, side);
            double end = side > 0 ? view.Highest : view.Lowest;
            if (depth < 0)
            {
                peaks = FlatTops(view, end);
                depth = view.Step / 2;
                isSoft = false;
            }

            if (peaks == 0)
            {
                continue;
            }

            List<SampleSpan> spans = Within(view, side, depth);
            string how = isSoft
                ? FormattableString.Invariant($"{peaks} of its highest peaks crowd within {view.Show(depth)} of {view.Show(end)}, more than a signal that runs free makes: the amplifier seems to saturate softly")
                : FormattableString.Invariant($"{CountText.Of(peaks, "peak ends", "peaks end")} flat at {view.Show(end)}, within {view.Show(depth)}, which a signal that runs free does not do");
            yield return view.Finding(
                isSoft ? "soft_clipping" : "clipping",
                HealthVerdict.Doubtful,
                spans,
                $"{how}; peaks there are lower bounds.",
                "Check amplifier gain, supply and converter range against the sensor's; set the amplifier so that the range lies above the peaks.",
                view.Family == ChannelFamily.Load ? "Peaks, margins and damage of this corner are lower bounds." : null);
        }
    }

    /// <summary>Runs at the extreme that are longer than chance allows for any run of the channel: one is enough.</summary>
    private static int FlatTops(ChannelView view, double end)
    {
        int tops = 0;
        foreach (SampleSpan run in view.EqualRuns.Runs)
        {
            tops += run.Count > view.EqualRuns.Longest && Math.Abs(view.Samples[run.First] - end) <= view.Step / 2 ? 1 : 0;
        }

        return tops;
    }

    /// <summary>Depth of the pile below the extreme, peaks in it, and whether it is a soft one; a depth below 0 when there is none.</summary>
    private static (double Depth, int Peaks, bool IsSoft) PileUp(ChannelView view, int side)
    {
        double[] peaks = Peaks(view, side);
        if (peaks.Length < FewestPeaks)
        {
            return (-1, 0, false);
        }

        double highest = peaks[0];
        double distance = highest - peaks[^1];
        double noise = double.IsNaN(view.StandingNoise) ? 0 : view.StandingNoise;
        double step = Math.Max(view.Step, 1e-9 * Math.Abs(highest));

        // Grip and engine power hold an acceleration at one value for seconds, and its noise makes many alike peaks there: only equal ones count.
        ReadOnlySpan<double> depths = view.Family == ChannelFamily.Acceleration ? [step] : [step, 3 * step, 2 * noise, 4 * noise];
        foreach (double depth in depths)
        {
            if (depth > 0 && depth < distance / 8 && Chance(peaks, depth, distance, out int count) < view.Options.ChanceOfFalseAlarm)
            {
                return (depth, count, false);
            }
        }

        if (view.Family == ChannelFamily.Load)
        {
            foreach (int most in (ReadOnlySpan<int>)[MostPeaks, MostPeaks / 2, MostPeaks / 4])
            {
                double[] upper = peaks[..Math.Min(most, peaks.Length)];
                double room = upper[0] - upper[^1];
                foreach (double share in (ReadOnlySpan<double>)[1.0 / 16, 1.0 / 8, 1.0 / 4])
                {
                    if (Chance(upper, share * room, room, out int count) < view.Options.ChanceOfSoftClipping)
                    {
                        return (share * room, count, true);
                    }
                }
            }
        }

        return (-1, 0, false);
    }

    private static double Chance(double[] peaks, double depth, double distance, out int count)
    {
        count = 0;
        if (!(distance > 0))
        {
            // All alike: a made signal that repeats itself exactly, or a clip so deep that its flat tops tell it.
            return 1;
        }

        while (count < peaks.Length && peaks[0] - peaks[count] <= depth)
        {
            count++;
        }

        // The highest and the K-th are given; the others between them fall into the top with at most this chance each.
        int free = peaks.Length - 2;
        int within = Math.Min(free, count - 1);
        return within < 2 ? 1 : 1 - Binomial.CDF(Math.Min(1, depth / distance), free, within - 1);
    }

    /// <summary>The highest peaks, falling; of two neighbouring blocks only the higher one counts.</summary>
    private static double[] Peaks(ChannelView view, int side)
    {
        List<double> blocks = side > 0 ? view.Blocks.High : view.Blocks.Low;
        List<double> peaks = [];
        for (int i = 1; i + 1 < blocks.Count; i++)
        {
            double here = side * blocks[i];
            if (here >= side * blocks[i - 1] && here > side * blocks[i + 1] && double.IsFinite(here))
            {
                peaks.Add(here);
            }
        }

        peaks.Sort((a, b) => b.CompareTo(a));
        return [.. peaks.Take(Math.Min(MostPeaks, peaks.Count / 2))];
    }

    private static List<SampleSpan> Within(ChannelView view, int side, double depth)
    {
        List<SampleSpan> spans = [];
        double level = (side > 0 ? view.Highest : -view.Lowest) - depth;
        ReadOnlySpan<double> samples = view.Samples;
        foreach (SampleSpan span in view.Running)
        {
            for (int i = span.First; i < span.End; i++)
            {
                if (side * samples[i] >= level)
                {
                    SpanList.Add(spans, i, 1);
                }
            }
        }

        return spans;
    }
}
