namespace Telemetry.Health;

/// <summary>Readings that jump away, stay flat and jump back: what a wiring fault makes and a wheel cannot.</summary>
/// <remarks>
/// A wheel has mass, so its load and travel change along a curve. The shortest kerb strike lasts about 10 ms (common practice, no source) and is a half sine;
/// a hub on its tyre swings at 10 to 25 Hz. A half sine never leaves and comes back by more per sample than it moves just before and after, as long as four samples
/// or more lie within it. So one sample counts from a rate of 435 Hz on (1 - cos(pi dt / T) = 1/4), two from 600 Hz, three from 700 Hz, each with a pulse of T = 10 ms
/// in mind. Longer boxes are flat to a quarter of their height, which a half sine of four samples or more is not.
/// The jump must also be larger than eight robust scatters of the channel's own differences (for normal differences a chance of 1e-15 a sample) and
/// than twice what the signal does from sample to sample just outside.
/// </remarks>
internal static class BoxExcursions
{
    private const double ScatterMultiple = 8;
    private const double OutsideMultiple = 2;
    private const double FlatShare = 0.25;
    private const double LongestS = 2;

    /// <summary>Rates from which on a box of one, two or three samples is no wheel's, Hz.</summary>
    private static ReadOnlySpan<double> LeastRateHz => [435, 600, 700];

    public static IEnumerable<HealthFinding> Find(ChannelView view)
    {
        if (view.Family is ChannelFamily.Other or ChannelFamily.RideHeight)
        {
            yield break;
        }

        List<SampleSpan> spikes = [];
        List<SampleSpan> drops = [];
        Search(view, spikes, drops);
        if (spikes.Count > 0)
        {
            long samples = SpanList.Count(spikes);
            yield return view.Finding(
                "spike",
                HealthVerdict.Doubtful,
                spikes,
                FormattableString.Invariant($"{CountText.Of(samples, "sample")} in {CountText.Of(spikes.Count, "place")} {(samples == 1 ? "jumps" : "jump")} away and back within {1000 * (spikes.Max(span => span.Count) + 1) * view.StepS:0.#} ms; {Why(view)}."),
                "Check connector, screen and earth. Such samples count unless --spikes remove is given.");
        }

        if (drops.Count > 0)
        {
            yield return view.Finding(
                "dropout",
                HealthVerdict.Doubtful,
                drops,
                FormattableString.Invariant($"The reading falls to a fixed value {CountText.Of(drops.Count, "time")}, for {SpanList.Count(drops) * view.StepS:0.###} s in all (first {view.Show(view.Samples[drops[0].First])})."),
                "Look for a loose connector or a 'no signal' value that the logger writes; log a blank instead, so that it is a gap and not a load.");
        }
    }

    /// <summary>True when a run of equal samples has a jump at both ends, so that it is a dropout and no hold.</summary>
    public static bool IsDrop(ChannelView view, SampleSpan run)
    {
        ReadOnlySpan<double> samples = view.Samples;
        if (run.First < 1 || run.End >= samples.Length)
        {
            return false;
        }

        double least = LeastJump(view);
        return Math.Abs(samples[run.First] - samples[run.First - 1]) > least && Math.Abs(samples[run.End] - samples[run.End - 1]) > least;
    }

    private static string Why(ChannelView view) => view.Family switch
    {
        ChannelFamily.Speed => "a car cannot change its speed like that",
        ChannelFamily.Temperature => "a load cell cannot change its temperature like that",
        _ => "a wheel cannot do that, the shortest kerb strike lasts 10 ms",
    };

    private static double LeastJump(ChannelView view) => Math.Max(ScatterMultiple * view.Scatter, view.Family switch
    {
        ChannelFamily.Speed => (view.Options.LargestAccelerationMps2 * view.StepS) + (2 * view.Step),
        ChannelFamily.Temperature => Math.Max(view.Options.LargestTemperatureStepK, view.Options.LargestTemperatureRateKps * view.StepS),
        _ => 0,
    });

    private static void Search(ChannelView view, List<SampleSpan> spikes, List<SampleSpan> drops)
    {
        ReadOnlySpan<double> samples = view.Samples;
        double least = LeastJump(view);
        int longest = Math.Max(4, (int)(LongestS * view.RateHz));
        for (int i = 1; i + 1 < samples.Length; i++)
        {
            double jump = samples[i] - samples[i - 1];

            // NaN is not above anything: beside a gap nothing is claimed.
            if (!(Math.Abs(jump) > least))
            {
                continue;
            }

            int end = EndOfBox(samples, i, jump, least, longest);
            if (end < 0 || !StandsOut(samples, i, end, Math.Min(Math.Abs(jump), Math.Abs(samples[end] - samples[end - 1]))))
            {
                continue;
            }

            int count = end - i;
            bool isEqual = IsEqual(samples[i..end]);
            bool isPhysical = view.Family is ChannelFamily.Load or ChannelFamily.Travel or ChannelFamily.Acceleration;
            if (count <= 3 && (!isPhysical || view.RateHz >= LeastRateHz[count - 1]))
            {
                SpanList.Add(isEqual && (count > 2 || samples[i] == 0) ? drops : spikes, i, count);
            }
            else if (count > 3 && (isEqual || (isPhysical && view.RateHz >= LeastRateHz[0])))
            {
                SpanList.Add(drops, i, count);
            }
            else if (isEqual && count > 1)
            {
                SpanList.Add(drops, i, count);
            }
            else
            {
                continue;
            }

            i = end;
        }
    }

    /// <summary>One past the last sample of the flat box that starts with a jump, or -1 when the signal does not come back from it.</summary>
    private static int EndOfBox(ReadOnlySpan<double> samples, int start, double jump, double least, int longest)
    {
        double low = samples[start];
        double high = low;
        for (int k = start + 1; k < samples.Length && k - start <= longest; k++)
        {
            double back = samples[k - 1] - samples[k];
            if (back * jump > 0 && Math.Abs(back) > Math.Max(least, Math.Abs(jump) / 3))
            {
                return high - low <= FlatShare * Math.Min(Math.Abs(jump), Math.Abs(back)) ? k : -1;
            }

            low = Math.Min(low, samples[k]);
            high = Math.Max(high, samples[k]);
            if (!(high - low <= FlatShare * Math.Abs(jump)))
            {
                return -1;
            }
        }

        return -1;
    }

    /// <summary>True when both jumps are larger than what the signal does from sample to sample in the three steps outside.</summary>
    private static bool StandsOut(ReadOnlySpan<double> samples, int start, int end, double jump)
    {
        const int around = 3;
        double outside = 0;
        for (int k = Math.Max(1, start - around); k < start; k++)
        {
            outside = Larger(outside, samples[k] - samples[k - 1]);
        }

        for (int k = end + 1; k < Math.Min(samples.Length, end + 1 + around); k++)
        {
            outside = Larger(outside, samples[k] - samples[k - 1]);
        }

        return jump > OutsideMultiple * outside;
    }

    private static double Larger(double largest, double difference) => Math.Abs(difference) > largest ? Math.Abs(difference) : largest;

    private static bool IsEqual(ReadOnlySpan<double> samples)
    {
        foreach (double value in samples)
        {
            if (value != samples[0])
            {
                return false;
            }
        }

        return true;
    }
}
