using System.IO.Hashing;
using System.Runtime.CompilerServices;
using System.Runtime.InteropServices;

namespace Telemetry.Logs;

/// <summary>XXH64 of numbers (xxHash, its format description 0.1.1), the same as the library's of their bytes.</summary>
/// <remarks>
/// The library's own is only compiled well once it has run for a tenth of a second, longer than a log takes; this loop is compiled fully at once.
/// A test holds the two to be the same.
/// </remarks>
internal static class DoubleHash
{
    private const ulong Prime1 = 0x9E37_79B1_85EB_CA87;
    private const ulong Prime2 = 0xC2B2_AE3D_27D4_EB4F;
    private const ulong Prime3 = 0x1656_67B1_9E37_79F9;
    private const ulong Prime4 = 0x85EB_CA77_C2B2_AE63;
    private const ulong Prime5 = 0x27D4_EB2F_1656_67C5;

    /// <summary>Numbers that the four lanes take at a time.</summary>
    private const int Lanes = 4;

    /// <summary>The hash of the little-endian bytes of numbers.</summary>
    /// <param name="values">The numbers; a NaN counts with its own bits.</param>
    /// <param name="seed">Where the hash starts.</param>
    public static ulong Of(ReadOnlySpan<double> values, ulong seed)
    {
        if (!BitConverter.IsLittleEndian)
        {
            return OfReversed(values, seed);
        }

        ReadOnlySpan<ulong> words = MemoryMarshal.Cast<double, ulong>(values);
        int striped = words.Length - (words.Length % Lanes);
        ulong hash = striped == 0 ? seed + Prime5 : Striped(words[..striped], seed);
        hash += (ulong)values.Length * sizeof(double);
        foreach (ulong word in words[striped..])
        {
            hash = (Rotated(hash ^ Round(0, word), 27) * Prime1) + Prime4;
        }

        hash = (hash ^ (hash >> 33)) * Prime2;
        hash = (hash ^ (hash >> 29)) * Prime3;
        return hash ^ (hash >> 32);
    }

    [MethodImpl(MethodImplOptions.AggressiveOptimization)]
    private static ulong Striped(ReadOnlySpan<ulong> words, ulong seed)
    {
        ulong a = seed + Prime1 + Prime2;
        ulong b = seed + Prime2;
        ulong c = seed;
        ulong d = seed - Prime1;
        for (; words.Length >= Lanes; words = words[Lanes..])
        {
            a = Round(a, words[0]);
            b = Round(b, words[1]);
            c = Round(c, words[2]);
            d = Round(d, words[3]);
        }

        ulong hash = Rotated(a, 1) + Rotated(b, 7) + Rotated(c, 12) + Rotated(d, 18);
        hash = Merged(hash, a);
        hash = Merged(hash, b);
        hash = Merged(hash, c);
        return Merged(hash, d);
    }

    private static ulong Merged(ulong hash, ulong lane) => ((hash ^ Round(0, lane)) * Prime1) + Prime4;

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    private static ulong Round(ulong lane, ulong word) => Rotated(lane + (word * Prime2), 31) * Prime1;

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    private static ulong Rotated(ulong value, int bits) => (value << bits) | (value >> (64 - bits));

    private static ulong OfReversed(ReadOnlySpan<double> values, ulong seed)
    {
        byte[] bytes = MemoryMarshal.AsBytes(values).ToArray();
        for (int i = 0; i < bytes.Length; i += sizeof(double))
        {
            bytes.AsSpan(i, sizeof(double)).Reverse();
        }

        return XxHash64.HashToUInt64(bytes, unchecked((long)seed));
    }
}
