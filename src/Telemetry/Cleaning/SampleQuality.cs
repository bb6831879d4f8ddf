using Telemetry.Car;
using Telemetry.Health;

namespace Telemetry.Cleaning;

/// <summary>How far one sample can be trusted; a higher number needs more care.</summary>
public enum SampleQuality : byte
{
    /// <summary>As logged, and nothing found.</summary>
    Good = 0,

    /// <summary>As logged; a finding of health concerns it.</summary>
    Doubtful = 1,

    /// <summary>Not logged: a straight line between its neighbours stands in.</summary>
    Repaired = 2,

    /// <summary>No number.</summary>
    Missing = 3,
}

/// <summary>The quality of every sample of a channel.</summary>
public static class SampleQualities
{
    /// <summary>One quality a sample of the clock.</summary>
    /// <param name="cleaned">The run with its repairs.</param>
    /// <param name="health">What was found; a doubtful or unusable finding without samples of its own concerns the whole channel.</param>
    /// <param name="role">The channel.</param>
    /// <returns>Empty when the run has no such channel.</returns>
    public static SampleQuality[] Of(CleanedRun cleaned, RunHealth health, ChannelRole role)
    {
        ArgumentNullException.ThrowIfNull(cleaned);
        ArgumentNullException.ThrowIfNull(health);
        SampleSource channel = cleaned.Run.OnClock(role);
        SampleQuality[] quality = new SampleQuality[channel.Length];
        foreach (HealthFinding finding in health.Findings.Where(finding => finding.Role == role && finding.Severity != HealthVerdict.Good))
        {
            if (finding.Spans.IsEmpty)
            {
                quality.AsSpan().Fill(SampleQuality.Doubtful);
            }

            Mark(quality, finding.Spans.AsSpan(), SampleQuality.Doubtful);
        }

        foreach (Repair repair in cleaned.Done.Where(repair => repair.Role == role))
        {
            Mark(quality, repair.Spans.AsSpan(), SampleQuality.Repaired);
        }

        if (!channel.IsFiniteThroughout)
        {
            SampleCursor samples = channel.Cursor();
            for (int i = 0; i < samples.Length; i++)
            {
                if (!double.IsFinite(samples[i]))
                {
                    quality[i] = SampleQuality.Missing;
                }
            }
        }

        return quality;
    }

    private static void Mark(SampleQuality[] quality, ReadOnlySpan<SampleSpan> spans, SampleQuality mark)
    {
        foreach (SampleSpan span in spans)
        {
            quality.AsSpan(span.First, span.Count).Fill(mark);
        }
    }
}
