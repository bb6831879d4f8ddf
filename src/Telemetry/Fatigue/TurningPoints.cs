using System.Numerics;
using System.Runtime.CompilerServices;
using System.Runtime.InteropServices;
using System.Runtime.Intrinsics;

namespace Telemetry.Fatigue;

/// <summary>Finds the samples at which a load turns round, many samples at a time.</summary>
/// <remarks>
/// On real logs a load turns round at every second or third sample, in no order that a processor could guess.
/// So steps are compared four at a time into bit masks of 64 steps, and a turn is a bit that differs from its neighbour:
/// no branch depends on the data except one per turn found.
/// </remarks>
internal static class TurningPoints
{
    private const int StepsPerBlock = 64;

    /// <summary>
    /// Writes the samples that a cycle count needs: the first and last sample of every stretch without a gap, and every strict reversal in between.
    /// </summary>
    /// <remarks>
    /// A plateau turns at its last sample. What is not a finite number is a gap and ends the stretch; the samples on both sides
    /// of a gap are neighbours for the count, so a gap never invents a load that was not measured.
    /// The ends of a stretch need not be reversals: the counter takes any sample, the finder only leaves out those that cannot matter.
    /// </remarks>
    /// <param name="samples">Loads in time order.</param>
    /// <param name="found">Receives sample indices, rising; at least as long as <paramref name="samples"/>.</param>
    /// <returns>How many were found.</returns>
    public static int Find(ReadOnlySpan<double> samples, Span<int> found)
    {
        ArgumentOutOfRangeException.ThrowIfLessThan(found.Length, samples.Length);
        int count = 0;
        int index = 0;
        while (true)
        {
            while (index < samples.Length && !double.IsFinite(samples[index]))
            {
                index++;
            }

            if (index == samples.Length)
            {
                return count;
            }

            found[count++] = index;
            int last = ScanStretch(samples, index, found, ref count);
            if (found[count - 1] != last)
            {
                found[count++] = last;
            }

            index = last + 1;
        }
    }

    /// <summary>Finds the reversals of the stretch that begins at <paramref name="index"/>; returns the stretch's last sample.</summary>
    private static int ScanStretch(ReadOnlySpan<double> samples, int index, Span<int> found, ref int count)
    {
        while (index + 1 < samples.Length && samples[index + 1] == samples[index])
        {
            index++;
        }

        if (index + 1 == samples.Length || !double.IsFinite(samples[index + 1]))
        {
            return index;
        }

        // The stretch may go on from one that ended higher or lower, so the end of a plateau at its start can be a turn.
        if (found[count - 1] != index)
        {
            found[count++] = index;
        }

        ulong rising = samples[index + 1] > samples[index] ? 1UL : 0UL;
        index++;
        while (index + StepsPerBlock < samples.Length)
        {
            if (!CompareBlock(samples.Slice(index, StepsPerBlock + 1), out ulong up, out ulong down))
            {
                break;
            }

            ulong direction = CarryThroughTies(up, ~(up | down), rising);
            ulong turns = direction ^ ((direction << 1) | rising);
            rising = direction >> (StepsPerBlock - 1);
            while (turns != 0)
            {
                found[count++] = index + BitOperations.TrailingZeroCount(turns);
                turns &= turns - 1;
            }

            index += StepsPerBlock;
        }

        while (index + 1 < samples.Length && double.IsFinite(samples[index + 1]))
        {
            if (samples[index + 1] != samples[index])
            {
                ulong up = samples[index + 1] > samples[index] ? 1UL : 0UL;
                if (up != rising)
                {
                    found[count++] = index;
                    rising = up;
                }
            }

            index++;
        }

        return index;
    }

    /// <summary>Compares 65 neighbours; bit k tells the step from sample k to k + 1. False when one of them is not finite.</summary>
    private static bool CompareBlock(ReadOnlySpan<double> block, out ulong up, out ulong down)
    {
        ref double first = ref MemoryMarshal.GetReference(block);
        Vector256<ulong> notFinite = Vector256<ulong>.Zero;
        ulong rises = 0;
        ulong falls = 0;
        for (int step = 0; step < StepsPerBlock; step += Vector256<double>.Count)
        {
            Vector256<double> here = Vector256.LoadUnsafe(ref first, (nuint)step);
            Vector256<double> next = Vector256.LoadUnsafe(ref first, (nuint)(step + 1));
            rises |= (ulong)Vector256.GreaterThan(next, here).ExtractMostSignificantBits() << step;
            falls |= (ulong)Vector256.LessThan(next, here).ExtractMostSignificantBits() << step;

            // x - x is +0 for every finite number and NaN for the rest.
            notFinite |= (next - next).AsUInt64();
        }

        up = rises;
        down = falls;
        return notFinite == Vector256<ulong>.Zero;
    }

    /// <summary>A step without a change keeps the direction of the step before it: each one-bit runs up through the ties above it.</summary>
    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    private static ulong CarryThroughTies(ulong up, ulong ties, ulong rising)
    {
        if (ties == 0)
        {
            return up;
        }

        ulong direction = up | (ties & rising);
        for (int shift = 1; shift < StepsPerBlock; shift *= 2)
        {
            direction |= ties & (direction << shift);
            ties &= ties << shift;
        }

        return direction;
    }
}
