using System.Numerics;
using System.Runtime.InteropServices;
using CsvHelper;

namespace Telemetry.Logs;

/// <summary>The bytes of a part as the library's reader gets them, and its settings.</summary>
internal static class CsvBytes
{
    /// <summary>The bytes as the reader gets them: signs swapped, runs of blanks made one.</summary>
    public static Memory<byte> Prepare(Memory<byte> bytes, CsvPlan plan)
    {
        if (plan.SwapSigns)
        {
            SwapSigns(bytes.Span);
        }

        return plan.SpaceRuns ? bytes[..SpaceRuns.Collapse(bytes.Span)] : bytes;
    }

    /// <summary>Makes every comma a point and every point a comma.</summary>
    public static void SwapSigns(Span<byte> bytes)
    {
        // The two differ in one bit (0x2C, 0x2E), so that one pass turns each into the other and touches nothing else.
        int at = 0;
        if (Vector.IsHardwareAccelerated)
        {
            Vector<byte> bit = new(0x02);
            Vector<byte> point = new((byte)'.');
            Span<Vector<byte>> blocks = MemoryMarshal.Cast<byte, Vector<byte>>(bytes);
            foreach (ref Vector<byte> block in blocks)
            {
                block ^= Vector.Equals(block | bit, point) & bit;
            }

            at = blocks.Length * Vector<byte>.Count;
        }

        for (; at < bytes.Length; at++)
        {
            if ((bytes[at] | 0x02) == '.')
            {
                bytes[at] ^= 0x02;
            }
        }
    }

    /// <summary>The reader's settings for data.</summary>
    public static CsvReaderOptions Options(CsvPlan plan) => CsvRecords.Options(plan.Separator) with { CommentPrefix = '#' };
}
