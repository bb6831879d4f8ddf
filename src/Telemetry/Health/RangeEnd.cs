namespace Telemetry.Health;

/// <summary>Samples at an end of the range that the car file gives.</summary>
internal static class RangeEnd
{
    public static IEnumerable<HealthFinding> Find(ChannelView view)
    {
        if (view.Mapping?.Range is not (double from, double to) || view.Family is ChannelFamily.Other or ChannelFamily.Temperature)
        {
            return [];
        }

        double edge = view.Options.RangeEdgeShare * (to - from);
        double low = from + edge;
        double high = to - edge;
        ReadOnlySpan<double> samples = view.Samples;
        List<SampleSpan> spans = [];
        for (int i = 0; i < samples.Length; i++)
        {
            if (samples[i] <= low || samples[i] >= high)
            {
                SpanList.Add(spans, i, 1);
            }
        }

        return spans.Count == 0 ? [] :
        [
            view.Finding(
                "range_limit",
                HealthVerdict.Doubtful,
                spans,
                FormattableString.Invariant($"{CountText.Of(SpanList.Count(spans), "sample")} in {CountText.Of(spans.Count, "stretch", "stretches")} {(SpanList.Count(spans) == 1 ? "stands" : "stand")} at the end of the sensor's range ({view.Show(from)} to {view.Show(to)}); peaks there are lower bounds."),
                "Fit a sensor of a wider range, or set the amplifier to it."),
        ];
    }
}
