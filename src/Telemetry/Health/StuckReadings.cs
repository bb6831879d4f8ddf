using Telemetry.Car;

namespace Telemetry.Health;

/// <summary>Readings that stay on one number while the car runs: a stuck sensor, a logger that repeats its last value, a slow reading written at a fast rate.</summary>
internal static class StuckReadings
{
    public static IEnumerable<HealthFinding> Find(ChannelView view)
    {
        if (view.Family is ChannelFamily.Other or ChannelFamily.Temperature)
        {
            return [];
        }

        EqualRuns equal = view.EqualRuns;
        if (SlowReading.Find(view, equal) is HealthFinding slow)
        {
            return [slow];
        }

        return view.Family switch
        {
            ChannelFamily.Speed => StuckSpeed(view, equal),
            ChannelFamily.RideHeight => Stuck(view, equal, view.Options.StuckSlowS),
            _ => [.. Stuck(view, equal, view.Options.StuckS), .. Held(view, equal)],
        };
    }

    private static IEnumerable<HealthFinding> Stuck(ChannelView view, EqualRuns equal, double limitS)
    {
        List<SampleSpan> spans = [];
        int longest = 0;
        foreach (SampleSpan run in equal.Runs)
        {
            // A coarse channel may rest for half a second; where motion is not known the car may stand.
            bool isBeyondChance = run.Count > equal.Longest || (view.MotionIsKnown && run.Count * view.StepS > view.Options.StuckAtExtremeS);
            bool isLong = (run.Count - 1) * view.StepS > limitS && isBeyondChance;
            if (isLong && !(IsAtExtreme(view, run) && run.Count * view.StepS < view.Options.StuckAtExtremeS))
            {
                SpanList.Add(spans, run.First, run.Count);
                longest = Math.Max(longest, run.Count);
            }
        }

        return spans.Count == 0 ? [] :
        [
            view.Finding(
                "stuck",
                view.Family == ChannelFamily.Load && view.MotionIsKnown ? HealthVerdict.Unusable : HealthVerdict.Doubtful,
                spans,
                FormattableString.Invariant($"It repeats one number for {longest * view.StepS:0.##} s while the car runs{More(spans.Count)}."),
                "Check the sensor and the logger's channel; a slower channel held between its samples must be logged with blanks instead."),
        ];
    }

    /// <summary>Shorter holds: longer than chance allows, but no stuck sensor.</summary>
    private static IEnumerable<HealthFinding> Held(ChannelView view, EqualRuns equal)
    {
        List<SampleSpan> spans = [];
        foreach (SampleSpan run in equal.Runs)
        {
            if (run.Count > equal.Longest && (run.Count - 1) * view.StepS <= view.Options.StuckS && !IsAtExtreme(view, run) && !BoxExcursions.IsDrop(view, run))
            {
                SpanList.Add(spans, run.First, run.Count);
            }
        }

        if (spans.Count == 0)
        {
            return [];
        }

        long samples = SpanList.Count(spans);
        return
        [
            view.Finding(
                "hold",
                HealthVerdict.Doubtful,
                spans,
                FormattableString.Invariant($"It repeats its last number {CountText.Of(spans.Count, "time")}, for {samples * view.StepS:0.###} s in all; a live sensor here never repeats one for more than {equal.Longest} samples."),
                "Look for lost messages between sensor and logger; peaks inside a hold are lost. Log a blank instead of the last value."),
        ];
    }

    /// <summary>A speed that rests on one number although the longitudinal accelerometer says that it changed.</summary>
    private static IEnumerable<HealthFinding> StuckSpeed(ChannelView view, EqualRuns equal)
    {
        SampleCursor forward = view.Run.OnClock(ChannelRole.AccelerationX).Cursor();
        List<SampleSpan> spans = [];
        double worstChange = 0;
        foreach (SampleSpan run in equal.Runs)
        {
            double lengthS = (run.Count - 1) * view.StepS;
            if (lengthS < view.Options.StuckSpeedLeastS)
            {
                continue;
            }

            double change = forward.IsEmpty ? double.NaN : Math.Abs(SumBetween(view, forward, run)) - (view.Options.AccelerationDoubtMps2 * lengthS);
            double allowed = view.Options.StuckSpeedChangeMps + (2 * view.Step);
            if (change > allowed || (double.IsNaN(change) && lengthS > view.Options.StuckSpeedAloneS))
            {
                SpanList.Add(spans, run.First, run.Count);
                worstChange = Math.Max(worstChange, double.IsNaN(change) ? 0 : change);
            }
        }

        string evidence = worstChange > 0 ? FormattableString.Invariant($", while the longitudinal accelerometer says that it changed by more than {worstChange * 3.6:0} km/h") : "";
        return spans.Count == 0 ? [] :
        [
            view.Finding(
                "stuck",
                HealthVerdict.Doubtful,
                spans,
                FormattableString.Invariant($"It repeats one number for {spans.Max(span => span.Count) * view.StepS:0.##} s{evidence}{More(spans.Count)}."),
                "Check the speed sensor and the logger's channel; aero load, distance and pairing of strikes rest on it."),
        ];
    }

    private static double SumBetween(ChannelView view, SampleCursor forward, SampleSpan run)
    {
        int from = RunStretches.IndexAt(view.Run.Clock, view.Channel.Time.At(run.First));
        int to = Math.Min(forward.Length, RunStretches.IndexAt(view.Run.Clock, view.Channel.Time.At(run.End - 1)));
        double sum = 0;
        for (int i = from; i < to; i++)
        {
            sum += double.IsFinite(forward[i]) ? forward[i] : 0;
        }

        return sum * view.Run.Clock.StepS;
    }

    /// <summary>True when a run stands at the largest or smallest reading while running: that is clipping, which has its own finding.</summary>
    private static bool IsAtExtreme(ChannelView view, SampleSpan run)
    {
        double value = view.Samples[run.First];
        return value <= view.Lowest + (view.Step / 2) || value >= view.Highest - (view.Step / 2);
    }

    private static string More(int count) => count == 1 ? "" : FormattableString.Invariant($"; {count} such stretches");
}
