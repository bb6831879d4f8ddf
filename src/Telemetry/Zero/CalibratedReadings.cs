using System.Collections.Immutable;
using Telemetry.Car;
using Telemetry.Runs;

namespace Telemetry.Zero;

/// <summary>Readings of the load cells with the calibration applied; the run keeps the raw ones.</summary>
internal static class CalibratedReadings
{
    /// <summary>Load without the zero taken off, N, one value a sample of the clock; NaN where a cell that counts has none.</summary>
    public static PerCorner<SampleSource> Of(Run run, CalibrationSet calibrations)
    {
        if (calibrations.LoadPerReading is not { } factors)
        {
            return PerCorner.Of(corner => run.OnClock(ChannelRoles.PushrodLoad(corner)));
        }

        return PerCorner.Of(corner => (SampleSource)new WeightedSum(
            run.Count, [.. factors[corner].Each().Where(factor => factor.Value != 0).Select(factor => (factor.Value, run.OnClock(ChannelRoles.PushrodLoad(factor.Corner))))]));
    }

    /// <summary>The step that a cell's readings went through, or null without a calibration.</summary>
    public static ProcessingStep? StepOf(CalibrationSet calibrations, Corner corner) =>
        calibrations.LoadPerReading is { } factors && (calibrations.Cells[corner] is not null || factors[corner].Each().Any(f => f.Corner != corner && f.Value != 0))
            ? new Calibrated(
                calibrations.Cells[corner]?.RecordNumber ?? 0,
                factors[corner].FrontLeft,
                factors[corner].FrontRight,
                factors[corner].RearLeft,
                factors[corner].RearRight)
            : null;

    /// <summary>Factor times reading, summed over the cells that count.</summary>
    private sealed class WeightedSum(int length, ImmutableArray<(double Factor, SampleSource Reading)> parts) : SampleSource(length)
    {
        public override ReadOnlySpan<double> Read(int start, int count, Span<double> room)
        {
            Span<double> load = room[..count];
            load.Clear();
            Span<double> beside = stackalloc double[Math.Min(Together, count)];
            for (int at = 0; at < count; at += Together)
            {
                Span<double> some = load[at..Math.Min(count, at + Together)];
                foreach ((double factor, SampleSource source) in parts)
                {
                    ReadOnlySpan<double> reading = source.Read(start + at, some.Length, beside);
                    for (int i = 0; i < some.Length; i++)
                    {
                        some[i] += factor * reading[i];
                    }
                }
            }

            return load;
        }
    }
}
