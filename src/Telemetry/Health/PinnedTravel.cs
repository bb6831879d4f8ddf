using Telemetry.Car;

namespace Telemetry.Health;

/// <summary>A damper that stands at an end of its travel while the load of the same corner goes on moving.</summary>
/// <remarks>
/// While the reading stays within steps and noise of its extreme, the load must stay within what that travel makes. The slope of travel against load is the channel's own,
/// by least squares over the run. Counted are stretches of 30 ms or more in which the travel scatters by no more than 1.5 times its noise and the load moves by as much as
/// would move the damper by ten times the band; at the turning point of a free damper the travel goes through a curve and load and travel turn together.
/// </remarks>
internal static class PinnedTravel
{
    private const double LeastS = 0.03;
    private const double LeastTotalS = 0.1;
    private const double QuietMultiple = 1.5;
    private const double MovedBands = 10;

    public static IEnumerable<HealthFinding> Find(ChannelView view)
    {
        if (view.Family != ChannelFamily.Travel)
        {
            return [];
        }

        SampleCursor load = view.Run.OnClock(ChannelRole.PushrodLoadFL + (view.Channel.Role - ChannelRole.DamperTravelFL)).Cursor();
        ReadOnlySpan<double> travel = view.Samples;
        if (view.Channel.Time != view.Run.Clock || load.Length != travel.Length)
        {
            return [];
        }

        List<HealthFinding> findings = [];
        double noise = double.IsNaN(view.StandingNoise) ? view.Scatter : view.StandingNoise;
        double band = Math.Max(2 * view.Step, 4 * noise);
        double slope = Slope(view, travel, load);
        for (int side = 1; side >= -1; side -= 2)
        {
            List<SampleSpan> spans = Stretches(view, travel, load, side, band, QuietMultiple * Math.Max(noise, view.Step / 2), slope);
            if (SpanList.Count(spans) * view.StepS < LeastTotalS)
            {
                continue;
            }

            findings.Add(view.Finding(
                "travel_pinned",
                HealthVerdict.Doubtful,
                spans,
                FormattableString.Invariant($"The damper stands at {view.Show(side > 0 ? view.Highest : view.Lowest)} for {SpanList.Count(spans) * view.StepS:0.##} s in {CountText.Of(spans.Count, "stretch", "stretches")} while the load of its corner goes on moving."),
                "Check the potentiometer's stroke and mounting, and the damper for its stop; if the damper really is on its stop, soften nothing before the load there is looked at.",
                "Touches the installation ratio, ride heights from dampers, displacement modes and damper velocity in those stretches; the wheel load there is read with the wrong travel."));
        }

        return findings;
    }

    private static List<SampleSpan> Stretches(ChannelView view, ReadOnlySpan<double> travel, SampleCursor load, int side, double band, double quiet, double slope)
    {
        List<SampleSpan> spans = [];
        int least = Math.Max(5, (int)Math.Round(LeastS * view.RateHz));
        double level = (side > 0 ? view.Highest : -view.Lowest) - (2 * band);
        foreach (SampleSpan span in view.Running)
        {
            for (int i = span.First; i < span.End; i++)
            {
                if (!(side * travel[i] >= level))
                {
                    continue;
                }

                int start = i;
                double low = double.PositiveInfinity;
                double high = double.NegativeInfinity;
                double sum = 0;
                double squares = 0;
                for (; i < span.End && side * travel[i] >= level; i++)
                {
                    low = load[i] < low ? load[i] : low;
                    high = load[i] > high ? load[i] : high;
                    double off = travel[i] - travel[start];
                    sum += off;
                    squares += off * off;
                }

                int count = i - start;
                double scatter = Math.Sqrt(Math.Max(0, (squares / count) - (sum / count * (sum / count))));
                if (count >= least && scatter <= quiet && Math.Abs(slope) * (high - low) > MovedBands * band)
                {
                    SpanList.Add(spans, start, count);
                }
            }
        }

        return spans;
    }

    /// <summary>Travel per load over the running samples, m/N.</summary>
    private static double Slope(ChannelView view, ReadOnlySpan<double> travel, SampleCursor load)
    {
        const int stride = 29;
        double count = 0, sumF = 0, sumX = 0, sumFF = 0, sumFX = 0;
        foreach (SampleSpan span in view.Running)
        {
            for (int i = span.First; i < span.End; i += stride)
            {
                if (double.IsFinite(travel[i]) && double.IsFinite(load[i]))
                {
                    count++;
                    sumF += load[i];
                    sumX += travel[i];
                    sumFF += load[i] * load[i];
                    sumFX += load[i] * travel[i];
                }
            }
        }

        double spread = sumFF - (sumF * sumF / count);
        return spread > 0 ? (sumFX - (sumF * sumX / count)) / spread : 0;
    }
}
