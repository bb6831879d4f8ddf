using System.Collections.Immutable;
using System.Runtime.InteropServices;
using Telemetry.Car;
using Telemetry.Runs;

namespace Telemetry.Zero;

/// <summary>Readings of the load cells with the calibration applied; the run keeps the raw ones.</summary>
internal static class CalibratedReadings
{
    /// <summary>Load without the zero taken off, N, one value a sample of the clock; NaN where a cell that counts has none.</summary>
    public static PerCorner<ImmutableArray<double>> Of(Run run, CalibrationSet calibrations)
    {
        if (calibrations.LoadPerReading is not { } factors)
        {
            return PerCorner.Of(corner => run.ClockSamples[(int)ChannelRoles.PushrodLoad(corner)]);
        }

        var results = new ImmutableArray<double>[4];
        Parallel.For(0, 4, c => results[c] = Sum(run, factors[(Corner)c]));
        return PerCorner.Of(corner => results[(int)corner]);
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

    private static ImmutableArray<double> Sum(Run run, PerCorner<double> factors)
    {
        double[] load = new double[run.Count];
        foreach ((Corner other, double factor) in factors.Each())
        {
            if (factor == 0)
            {
                continue;
            }

            ReadOnlySpan<double> reading = run.OnClock(ChannelRoles.PushrodLoad(other));
            for (int i = 0; i < load.Length; i++)
            {
                load[i] += factor * reading[i];
            }
        }

        return ImmutableCollectionsMarshal.AsImmutableArray(load);
    }
}
