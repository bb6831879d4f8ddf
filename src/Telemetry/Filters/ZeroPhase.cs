using System.Buffers;
using System.Collections.Immutable;
using System.Runtime.InteropServices;

namespace Telemetry.Filters;

/// <summary>Filtering forward and then backward: no delay and no phase, at the price of looking ahead.</summary>
/// <remarks>
/// Each end is lengthened by odd reflection and each pass starts in the steady state of its first sample, as in
/// Gustafsson, IEEE Transactions on Signal Processing 44 (1996) 988 (from memory), and scipy.signal.sosfiltfilt, against which it is tested.
/// A gap, a run of NaN or infinite samples, is never filtered across: every finite stretch is filtered on its own,
/// nothing before a gap depends on anything after it, and the gap is NaN in the result.
/// A result near an end rests partly on the reflection; peaks must never be taken from it.
/// </remarks>
public static class ZeroPhase
{
    /// <summary>The filtered samples; one value per sample.</summary>
    /// <param name="samples">Any unit, evenly spaced at the filter's sample rate. NaN or infinity: no value.</param>
    /// <param name="filter">The filter. With <see cref="CutoffMeaning.SinglePass"/> its cut-off is at -6 dB here.</param>
    /// <param name="settings">Treatment of ends and short stretches; null for the defaults.</param>
    /// <returns>Same unit; NaN in gaps and in stretches that are too short to say anything.</returns>
    public static ImmutableArray<double> Filter(ImmutableArray<double> samples, ButterworthFilter filter, ZeroPhaseSettings? settings = null)
    {
        double[] result = GC.AllocateUninitializedArray<double>(samples.AsSpan().Length);
        Filter(samples.AsSpan(), filter, result, settings);
        return ImmutableCollectionsMarshal.AsImmutableArray(result);
    }

    /// <summary>The filtered samples, into memory of the caller.</summary>
    /// <param name="samples">Any unit, evenly spaced at the filter's sample rate. NaN or infinity: no value.</param>
    /// <param name="filter">The filter.</param>
    /// <param name="result">As long as the samples; must not overlap them. NaN in gaps and in stretches that are too short.</param>
    /// <param name="settings">Treatment of ends and short stretches; null for the defaults.</param>
    /// <exception cref="ArgumentException">The result has another length, or overlaps the samples.</exception>
    public static void Filter(
        ReadOnlySpan<double> samples, ButterworthFilter filter, Span<double> result, ZeroPhaseSettings? settings = null)
    {
        ArgumentNullException.ThrowIfNull(filter);
        SameLengthApart(samples, result);
        settings ??= ZeroPhaseSettings.Default;
        int padding = settings.PaddingFor(filter);
        int least = settings.MinimumStretchFor(filter);
        SectionGains[] gains = SectionCascade.Gains(filter);
        SectionCascade cascade = new(gains, new SectionState[gains.Length]);
        double[] pad = ArrayPool<double>.Shared.Rent(Math.Max(1, Math.Min(padding, samples.Length)));
        int done = 0;
        while (done < samples.Length)
        {
            FiniteStretch stretch = FiniteStretch.Next(samples, done);
            result[done..stretch.Start].Fill(double.NaN);
            if (stretch.Length < least)
            {
                result[stretch.Start..stretch.End].Fill(double.NaN);
            }
            else
            {
                OneStretch(
                    samples[stretch.Start..stretch.End],
                    result[stretch.Start..stretch.End],
                    cascade,
                    pad.AsSpan(0, Math.Min(padding, stretch.Length - 1)));
            }

            done = stretch.End;
        }

        ArrayPool<double>.Shared.Return(pad);
    }

    /// <summary>Only the padding needs memory of its own: the middle goes forward into the result and backward in place.</summary>
    private static void OneStretch(ReadOnlySpan<double> samples, Span<double> result, SectionCascade cascade, Span<double> pad)
    {
        for (int i = 0; i < pad.Length; i++)
        {
            pad[i] = (2 * samples[0]) - samples[pad.Length - i];
        }

        cascade.Settle(pad.Length > 0 ? pad[0] : samples[0]);
        cascade.Forward(pad, pad);
        cascade.Forward(samples, result);
        for (int i = 0; i < pad.Length; i++)
        {
            pad[i] = (2 * samples[^1]) - samples[^(i + 2)];
        }

        cascade.Forward(pad, pad);
        cascade.Settle(pad.Length > 0 ? pad[^1] : result[^1]);
        cascade.Backward(pad);
        cascade.Backward(result);
    }

    private static void SameLengthApart(ReadOnlySpan<double> samples, Span<double> result)
    {
        if (samples.Length != result.Length)
        {
            throw new ArgumentException($"The result has room for {result.Length} values, but there are {samples.Length} samples.", nameof(result));
        }

        if (samples.Overlaps(result))
        {
            throw new ArgumentException("The result must not overlap the samples.", nameof(result));
        }
    }
}
