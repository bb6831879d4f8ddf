using System.IO.Compression;
using System.Runtime.CompilerServices;
using System.Runtime.InteropServices;
using System.Runtime.Intrinsics;
using System.Runtime.Intrinsics.X86;
using Telemetry.Runs;

namespace Telemetry.Output.Report;

/// <summary>A channel as the report holds it: 16-bit codes of even steps, and the lowest and highest code of each short stretch.</summary>
/// <remarks>
/// Code 0 is no value (NaN); code c from 1 on is <c>Low + (c - 1) Step</c>, so a value comes back to within half a step. A gap stays a gap.
/// The codes are written as differences to the code before (the first to 0, modulo 65 536), each difference folded so that small ones of either sign
/// become small numbers (2d for d from 0 on, -2d - 1 below), then the low bytes of all, then the high bytes of all, then gzip.
/// </remarks>
/// <param name="Low">Smallest value; NaN when there is none.</param>
/// <param name="Step">One step; 0 when all values are the same.</param>
/// <param name="Count">Number of samples.</param>
/// <param name="LowCodes">Smallest code of each bucket; 0 where it holds no value.</param>
/// <param name="HighCodes">Largest code of each bucket; 0 where it holds no value.</param>
/// <param name="Gzip">The codes of all samples, packed; empty when only the buckets are kept.</param>
internal sealed record PackedSamples(double Low, double Step, int Count, ushort[] LowCodes, ushort[] HighCodes, ReadOnlyMemory<byte> Gzip)
{
    /// <summary>Steps over the range of a load: half a step is 0.006 % of the range, a tenth of what a good cell can tell. Each bit more stores a bit more of the cell's noise in every sample.</summary>
    public const int StepsOfLoads = 8192;

    /// <summary>Steps over the range of any other channel: half a step is 0.012 % of the range.</summary>
    public const int StepsOfOthers = 4096;

    /// <summary>A value comes back to within this.</summary>
    public double HalfStep => Step / 2;

    /// <summary>Packs a channel.</summary>
    /// <param name="samples">One value a sample; NaN and the infinities are gaps.</param>
    /// <param name="buckets">Where the buckets lie.</param>
    /// <param name="steps">Steps over the range, 1 to 65 534.</param>
    public static PackedSamples Of(SampleSource samples, BucketGrid buckets, int steps)
    {
        ArgumentOutOfRangeException.ThrowIfLessThan(steps, 1);
        ArgumentOutOfRangeException.ThrowIfGreaterThan(steps, 65534);
        ArgumentNullException.ThrowIfNull(samples);
        (double low, double high) = (double.PositiveInfinity, double.NegativeInfinity);
        double[] block = SampleSource.RoomForBlock();
        foreach ((int start, int count) in SampleSource.Blocks(0, samples.Length))
        {
            (double lowest, double highest) = FiniteRange(samples.Read(start, count, block));
            (low, high) = (Math.Min(low, lowest), Math.Max(high, highest));
        }

        double step = high > low ? (high - low) / steps : 0;
        ushort[] room = LongRoom<ushort>.Pool.Rent(samples.Length);
        Span<ushort> codes = room.AsSpan(0, samples.Length);
        foreach ((int start, int count) in SampleSource.Blocks(0, samples.Length))
        {
            Code(samples.Read(start, count, block), low, step, steps, codes.Slice(start, count));
        }

        (ushort[] lowCodes, ushort[] highCodes) = buckets.Extremes(codes);
        PackedSamples packed = new(low <= high ? low : double.NaN, step, samples.Length, lowCodes, highCodes, Pack(codes));
        LongRoom<ushort>.Pool.Return(room);
        return packed;
    }

    /// <summary>The codes that a packed channel holds, as the page's script reads them.</summary>
    public static ushort[] Unpack(ReadOnlyMemory<byte> gzip, int count)
    {
        byte[] bytes = new byte[2 * count];
        using GZipStream stream = new(new MemoryStream(gzip.ToArray()), CompressionMode.Decompress);
        stream.ReadExactly(bytes);
        ushort[] codes = new ushort[count];
        int code = 0;
        for (int i = 0; i < count; i++)
        {
            int folded = bytes[i] | (bytes[count + i] << 8);
            code = (code + ((folded >> 1) ^ -(folded & 1))) & 0xffff;
            codes[i] = (ushort)code;
        }

        return codes;
    }

    /// <summary>The value of a code.</summary>
    public double ValueOf(int code) => code == 0 ? double.NaN : Low + ((code - 1) * Step);

    // An infinity would leave no step for the other values.
    private static (double Low, double High) FiniteRange(ReadOnlySpan<double> samples)
    {
        (double low, double high) = Telemetry.Extremes.Of(samples);
        if (!double.IsInfinity(low) && !double.IsInfinity(high))
        {
            return (low, high);
        }

        (low, high) = (double.PositiveInfinity, double.NegativeInfinity);
        foreach (double value in samples)
        {
            if (double.IsFinite(value))
            {
                (low, high) = (Math.Min(low, value), Math.Max(high, value));
            }
        }

        return (low, high);
    }

    // Few calls of many samples each: there is no second call to be fast in, when the runtime compiles as it goes.
    [MethodImpl(MethodImplOptions.AggressiveOptimization)]
    private static void Code(ReadOnlySpan<double> samples, double low, double step, int steps, Span<ushort> codes)
    {
        double perStep = step > 0 ? 1 / step : 0;
        int i = 0;
        if (Avx.IsSupported)
        {
            // The same arithmetic on eight samples at a time.
            ref double from = ref MemoryMarshal.GetReference(samples);
            ref ushort to = ref MemoryMarshal.GetReference(codes);
            Vector256<double> lows = Vector256.Create(low), factors = Vector256.Create(perStep), limits = Vector256.Create(steps + 0.5);
            for (; i <= codes.Length - 8; i += 8)
            {
                Vector128<int> first = CodesOf(Vector256.LoadUnsafe(ref from, (nuint)i), lows, factors, limits);
                Vector128<int> second = CodesOf(Vector256.LoadUnsafe(ref from, (nuint)i + 4), lows, factors, limits);
                Vector128.Narrow(first, second).AsUInt16().StoreUnsafe(ref to, (nuint)i);
            }
        }

        for (; i < codes.Length; i++)
        {
            // Comparisons with NaN are false, so a gap and an infinity keep code 0.
            double at = (samples[i] - low) * perStep;
            codes[i] = at >= 0 && at < steps + 0.5 ? (ushort)(at + 1.5) : (ushort)0;
        }
    }

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    private static Vector128<int> CodesOf(Vector256<double> samples, Vector256<double> low, Vector256<double> perStep, Vector256<double> limit)
    {
        Vector256<double> at = (samples - low) * perStep;
        Vector256<double> inside = Vector256.GreaterThanOrEqual(at, Vector256<double>.Zero) & Vector256.LessThan(at, limit);
        return Avx.ConvertToVector128Int32WithTruncation((at + Vector256.Create(1.5)) & inside);
    }

    [MethodImpl(MethodImplOptions.AggressiveOptimization)]
    private static ReadOnlyMemory<byte> Pack(ReadOnlySpan<ushort> codes)
    {
        byte[] room = LongRoom<byte>.Pool.Rent(2 * codes.Length);
        Span<byte> bytes = room.AsSpan(0, 2 * codes.Length);
        Span<byte> lows = bytes[..codes.Length], highs = bytes[codes.Length..];
        Fold(codes, lows, highs);

        // Differences of noise repeat no stretch that is worth a search: coding each byte by its frequency gets nearly all there is to get, in a fraction of the time.
        MemoryStream packed = new(bytes.Length / 2);
        using (GZipStream gzip = new(packed, new ZLibCompressionOptions { CompressionLevel = 1, CompressionStrategy = ZLibCompressionStrategy.RunLengthEncoding }, leaveOpen: true))
        {
            gzip.Write(bytes);
        }

        LongRoom<byte>.Pool.Return(room);
        return packed.GetBuffer().AsMemory(0, (int)packed.Length);
    }

    /// <summary>Low and high bytes of the folded differences.</summary>
    [MethodImpl(MethodImplOptions.AggressiveOptimization)]
    private static void Fold(ReadOnlySpan<ushort> codes, Span<byte> lows, Span<byte> highs)
    {
        if (codes.IsEmpty)
        {
            return;
        }

        FoldOne(codes, lows, highs, 0, 0);
        int i = 1;
        ref ushort from = ref MemoryMarshal.GetReference(codes);
        ref byte low = ref MemoryMarshal.GetReference(lows);
        ref byte high = ref MemoryMarshal.GetReference(highs);
        for (; i <= codes.Length - 16; i += 16)
        {
            Vector128<ushort> first = Folded(ref from, (nuint)i);
            Vector128<ushort> second = Folded(ref from, (nuint)i + 8);
            Vector128<ushort> byteOf = Vector128.Create((ushort)0xff);
            Vector128.Narrow(first & byteOf, second & byteOf).StoreUnsafe(ref low, (nuint)i);
            Vector128.Narrow(first >>> 8, second >>> 8).StoreUnsafe(ref high, (nuint)i);
        }

        for (; i < codes.Length; i++)
        {
            FoldOne(codes, lows, highs, i, codes[i - 1]);
        }
    }

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    private static Vector128<ushort> Folded(ref ushort codes, nuint at)
    {
        Vector128<short> difference = (Vector128.LoadUnsafe(ref codes, at) - Vector128.LoadUnsafe(ref codes, at - 1)).AsInt16();
        return ((difference << 1) ^ (difference >> 15)).AsUInt16();
    }

    private static void FoldOne(ReadOnlySpan<ushort> codes, Span<byte> lows, Span<byte> highs, int i, ushort before)
    {
        int difference = (short)(codes[i] - before);
        int folded = (difference << 1) ^ (difference >> 31);
        lows[i] = (byte)folded;
        highs[i] = (byte)(folded >> 8);
    }
}

/// <summary>Short stretches of even length that begin anew with each lap, so that no stretch holds samples of two laps.</summary>
/// <param name="Size">Samples of a bucket; the last of a lap may hold fewer.</param>
/// <param name="Laps">First sample and one past the last of each lap, in order.</param>
internal sealed record BucketGrid(int Size, IReadOnlyList<(int Start, int End)> Laps)
{
    /// <summary>Buckets of a whole run: enough for a pixel each on the widest screen and lap, few enough to be drawn at once.</summary>
    private const int Most = 16384;

    /// <summary>The smallest power of two that needs no more than that many buckets; at least two samples.</summary>
    public static BucketGrid For(Run run)
    {
        int size = 2;
        while (run.Count / size > Most)
        {
            size *= 2;
        }

        return new(size, [.. run.Laps.Laps.Select(lap => (lap.StartIndex, lap.EndIndex))]);
    }

    /// <summary>Number of buckets.</summary>
    public int Count => Laps.Sum(lap => BucketsOf(lap));

    /// <summary>Distances at the start of each bucket and at the last sample of each lap, m: one more a lap than it has buckets. NaN where unknown; empty without distance.</summary>
    /// <remarks>Between two of them the page draws a straight line: with 64 ms between them and 5 g of braking it is at most 0.03 m out.</remarks>
    public float[] Knots(Run run)
    {
        if (run.LapDistanceM.IsEmpty)
        {
            return [];
        }

        SampleCursor distance = run.LapDistanceM.Cursor();
        float[] knots = new float[Count + Laps.Count];
        int at = 0;
        foreach ((int start, int end) in Laps)
        {
            for (int i = start; i < end; i += Size)
            {
                knots[at++] = (float)distance[i];
            }

            knots[at++] = end > start ? (float)distance[end - 1] : float.NaN;
        }

        return knots;
    }

    /// <summary>Smallest and largest code of each bucket; code 0, a gap, counts for nothing.</summary>
    [MethodImpl(MethodImplOptions.AggressiveOptimization)]
    public (ushort[] Low, ushort[] High) Extremes(ReadOnlySpan<ushort> codes)
    {
        ushort[] low = new ushort[Count], high = new ushort[low.Length];
        int bucket = 0;
        foreach ((int start, int end) in Laps)
        {
            for (int from = start; from < end; from += Size)
            {
                // Less one, a gap becomes the largest number there is, and the smallest is found without asking for it.
                ushort least = ushort.MaxValue, most = 0;
                ReadOnlySpan<ushort> all = codes[from..Math.Min(from + Size, end)];
                if (all.Length >= Vector128<ushort>.Count)
                {
                    Vector128<ushort> leasts = Vector128.Create(ushort.MaxValue), mosts = Vector128<ushort>.Zero;
                    for (; all.Length >= Vector128<ushort>.Count; all = all[Vector128<ushort>.Count..])
                    {
                        Vector128<ushort> eight = Vector128.Create(all);
                        leasts = Vector128.Min(leasts, eight - Vector128<ushort>.One);
                        mosts = Vector128.Max(mosts, eight);
                    }

                    for (int lane = 0; lane < Vector128<ushort>.Count; lane++)
                    {
                        least = Math.Min(least, leasts[lane]);
                        most = Math.Max(most, mosts[lane]);
                    }
                }

                foreach (ushort code in all)
                {
                    least = Math.Min(least, (ushort)(code - 1));
                    most = Math.Max(most, code);
                }

                low[bucket] = (ushort)(least + 1);
                high[bucket++] = most;
            }
        }

        return (low, high);
    }

    private int BucketsOf((int Start, int End) lap) => (Math.Max(0, lap.End - lap.Start) + Size - 1) / Size;
}
