using System.Runtime.CompilerServices;

namespace Telemetry.Filters;

/// <summary>The numbers that one section needs per sample.</summary>
/// <remarks>
/// With s and t the section's state in delta form, input x and output y:
/// t += FromNew x + FromOld x(before) - Spring s(before); y = Direct x + s; s = Keep s + t.
/// Each of these sums adds a small term to a large one, so the rounding of a cut-off far below the sample rate
/// does not pile up as it does in the direct forms; and the longest chain from one sample to the next is three operations.
/// </remarks>
internal readonly struct SectionGains
{
    internal SectionGains(in FilterSection section)
    {
        Direct = section.B0;
        FromNew = Math.FusedMultiplyAdd(-section.DenominatorSlope, section.B0, section.NumeratorSlope);
        double sumFromInput = Math.FusedMultiplyAdd(-section.DenominatorSum, section.B0, section.NumeratorSum);
        FromOld = sumFromInput - FromNew;
        Spring = -section.DenominatorSum;
        Keep = 1 - section.DenominatorSlope;
        SteadyState = section.ConstantGain - section.B0;
        Slope = section.DenominatorSlope;
        ConstantGain = section.ConstantGain;
    }

    internal double Direct { get; }

    internal double FromNew { get; }

    internal double FromOld { get; }

    internal double Spring { get; }

    internal double Keep { get; }

    internal double SteadyState { get; }

    internal double Slope { get; }

    internal double ConstantGain { get; }

    /// <summary>The state in which the section would be had its input been 1 for ever.</summary>
    internal SectionState Settled => new() { S = SteadyState, SBefore = SteadyState, T = Slope * SteadyState, XBefore = 1 };
}

/// <summary>What one section remembers between two samples.</summary>
internal struct SectionState
{
    internal double S;
    internal double SBefore;
    internal double T;
    internal double XBefore;
}

/// <summary>The inner loops: one or two sections per trip through the data, forward (step 1) or backward (step -1), in place or not.</summary>
internal static class SectionKernel
{
    internal static void One(ref double input, ref double output, nint step, int count, in SectionGains gains, ref SectionState state)
    {
        (double direct, double fromNew, double fromOld, double spring, double keep) =
            (gains.Direct, gains.FromNew, gains.FromOld, gains.Spring, gains.Keep);
        SectionState a = state;
        for (int i = 0; i < count; i++)
        {
            double x = input;
            a.T += Math.FusedMultiplyAdd(spring, a.SBefore, Math.FusedMultiplyAdd(fromNew, x, fromOld * a.XBefore));
            output = Math.FusedMultiplyAdd(direct, x, a.S);
            a.SBefore = a.S;
            a.S = Math.FusedMultiplyAdd(keep, a.S, a.T);
            a.XBefore = x;
            input = ref Unsafe.Add(ref input, step);
            output = ref Unsafe.Add(ref output, step);
        }

        state = a;
    }

    internal static void Two(
        ref double input,
        ref double output,
        nint step,
        int count,
        in SectionGains first,
        in SectionGains second,
        ref SectionState firstState,
        ref SectionState secondState)
    {
        (double direct1, double fromNew1, double fromOld1, double spring1, double keep1) =
            (first.Direct, first.FromNew, first.FromOld, first.Spring, first.Keep);
        (double direct2, double fromNew2, double fromOld2, double spring2, double keep2) =
            (second.Direct, second.FromNew, second.FromOld, second.Spring, second.Keep);
        SectionState a = firstState;
        SectionState b = secondState;
        for (int i = 0; i < count; i++)
        {
            double x = input;
            a.T += Math.FusedMultiplyAdd(spring1, a.SBefore, Math.FusedMultiplyAdd(fromNew1, x, fromOld1 * a.XBefore));
            double y = Math.FusedMultiplyAdd(direct1, x, a.S);
            a.SBefore = a.S;
            a.S = Math.FusedMultiplyAdd(keep1, a.S, a.T);
            a.XBefore = x;

            b.T += Math.FusedMultiplyAdd(spring2, b.SBefore, Math.FusedMultiplyAdd(fromNew2, y, fromOld2 * b.XBefore));
            output = Math.FusedMultiplyAdd(direct2, y, b.S);
            b.SBefore = b.S;
            b.S = Math.FusedMultiplyAdd(keep2, b.S, b.T);
            b.XBefore = y;
            input = ref Unsafe.Add(ref input, step);
            output = ref Unsafe.Add(ref output, step);
        }

        firstState = a;
        secondState = b;
    }
}
