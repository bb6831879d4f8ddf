using System.Runtime.InteropServices;

namespace Telemetry.Filters;

/// <summary>All sections of a filter with their state, run over one channel piece by piece.</summary>
internal readonly ref struct SectionCascade
{
    /// <summary>Samples that go through all sections before the next ones come: 32 KiB, which stays in the first-level cache.</summary>
    private const int ChunkSamples = 4096;

    /// <summary>A state below this is as good as zero in any unit. A channel that falls to exactly 0 would otherwise let the states decay
    /// into the subnormal numbers, with which a processor works several times slower.</summary>
    private const double Nothing = 1e-200;

    private readonly ReadOnlySpan<SectionGains> gains;
    private readonly Span<SectionState> states;

    internal SectionCascade(ReadOnlySpan<SectionGains> gains, Span<SectionState> states)
    {
        this.gains = gains;
        this.states = states;
    }

    internal static SectionGains[] Gains(ButterworthFilter filter)
    {
        SectionGains[] gains = new SectionGains[filter.Sections.Length];
        for (int k = 0; k < gains.Length; k++)
        {
            gains[k] = new SectionGains(filter.Sections[k]);
        }

        return gains;
    }

    /// <summary>Puts every section into the state that it has after a constant input has stood for ever.</summary>
    internal void Settle(double level)
    {
        for (int k = 0; k < gains.Length; k++)
        {
            SectionState unit = gains[k].Settled;
            states[k] = new()
            {
                S = unit.S * level,
                SBefore = unit.SBefore * level,
                T = unit.T * level,
                XBefore = unit.XBefore * level,
            };
            level *= gains[k].ConstantGain;
        }
    }

    /// <summary>Runs forward in time.</summary>
    /// <param name="input">Samples.</param>
    /// <param name="output">As long as the input; may be the same memory.</param>
    internal void Forward(ReadOnlySpan<double> input, Span<double> output)
    {
        for (int from = 0; from < input.Length; from += ChunkSamples)
        {
            int count = Math.Min(ChunkSamples, input.Length - from);
            Chunk(ref MemoryMarshal.GetReference(input[from..]), ref MemoryMarshal.GetReference(output[from..]), 1, count);
        }
    }

    /// <summary>Runs backward in time, in place.</summary>
    internal void Backward(Span<double> samples)
    {
        for (int end = samples.Length; end > 0; end -= ChunkSamples)
        {
            ref double last = ref samples[end - 1];
            Chunk(ref last, ref last, -1, Math.Min(ChunkSamples, end));
        }
    }

    private void Chunk(ref double input, ref double output, nint step, int count)
    {
        foreach (ref SectionState state in states)
        {
            double largest = Math.Max(Math.Max(Math.Abs(state.S), Math.Abs(state.SBefore)), Math.Max(Math.Abs(state.T), Math.Abs(state.XBefore)));
            if (largest < Nothing)
            {
                state = default;
            }
        }

        int k = 0;
        if (gains.Length % 2 == 1)
        {
            SectionKernel.One(ref input, ref output, step, count, gains[0], ref states[0]);
            input = ref output;
            k = 1;
        }

        for (; k < gains.Length; k += 2)
        {
            SectionKernel.Two(ref input, ref output, step, count, gains[k], gains[k + 1], ref states[k], ref states[k + 1]);
            input = ref output;
        }
    }
}
