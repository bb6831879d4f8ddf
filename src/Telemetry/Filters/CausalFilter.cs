using System.Collections.Immutable;
using System.Runtime.InteropServices;

namespace Telemetry.Filters;

/// <summary>The state of a causal filter before its first sample.</summary>
public enum FilterStart
{
    /// <summary>As if the first sample had stood for ever: no transient from an offset.</summary>
    Steady,

    /// <summary>As if nothing but zeros had come before.</summary>
    Zero,
}

/// <summary>Filtering forward in time only: what a device on the car would show. It delays; see <see cref="ZeroPhase"/> for filtering after the run.</summary>
/// <remarks>A gap, a run of NaN or infinite samples, is never filtered across: the filter starts anew after it, and the gap is NaN in the result.</remarks>
public static class CausalFilter
{
    /// <summary>The filtered samples; one value per sample.</summary>
    /// <param name="samples">Any unit, evenly spaced at the filter's sample rate. NaN or infinity: no value.</param>
    /// <param name="filter">A filter designed with <see cref="CutoffMeaning.SinglePass"/>.</param>
    /// <param name="start">State before the first sample of each finite stretch.</param>
    /// <returns>Same unit; NaN in gaps.</returns>
    /// <exception cref="ArgumentException">The filter's cut-off holds for two passes, so it would be wrong here.</exception>
    public static ImmutableArray<double> Filter(
        ImmutableArray<double> samples, ButterworthFilter filter, FilterStart start = FilterStart.Steady)
    {
        double[] result = GC.AllocateUninitializedArray<double>(samples.AsSpan().Length);
        Filter(samples.AsSpan(), filter, result, start);
        return ImmutableCollectionsMarshal.AsImmutableArray(result);
    }

    /// <summary>The filtered samples, into memory of the caller.</summary>
    /// <param name="samples">Any unit, evenly spaced at the filter's sample rate. NaN or infinity: no value.</param>
    /// <param name="filter">A filter designed with <see cref="CutoffMeaning.SinglePass"/>.</param>
    /// <param name="result">As long as the samples; the same memory is allowed. NaN in gaps.</param>
    /// <param name="start">State before the first sample of each finite stretch.</param>
    /// <exception cref="ArgumentException">The result has another length, or the filter's cut-off holds for two passes.</exception>
    public static void Filter(
        ReadOnlySpan<double> samples, ButterworthFilter filter, Span<double> result, FilterStart start = FilterStart.Steady)
    {
        ArgumentNullException.ThrowIfNull(filter);
        if (samples.Length != result.Length)
        {
            throw new ArgumentException($"The result has room for {result.Length} values, but there are {samples.Length} samples.", nameof(result));
        }

        if (filter.Meaning != CutoffMeaning.SinglePass)
        {
            throw new ArgumentException("The filter's cut-off holds for two passes; design it with CutoffMeaning.SinglePass.", nameof(filter));
        }

        SectionGains[] gains = SectionCascade.Gains(filter);
        SectionState[] states = new SectionState[gains.Length];
        SectionCascade cascade = new(gains, states);
        int done = 0;
        while (done < samples.Length)
        {
            FiniteStretch stretch = FiniteStretch.Next(samples, done);
            result[done..stretch.Start].Fill(double.NaN);
            if (stretch.Length > 0)
            {
                Array.Clear(states);
                if (start == FilterStart.Steady)
                {
                    cascade.Settle(samples[stretch.Start]);
                }

                cascade.Forward(samples[stretch.Start..stretch.End], result[stretch.Start..stretch.End]);
            }

            done = stretch.End;
        }
    }
}
