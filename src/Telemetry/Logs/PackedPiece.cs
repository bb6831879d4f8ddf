using System.Buffers;
using System.Runtime.Intrinsics;
using System.Runtime.Intrinsics.X86;

namespace Telemetry.Logs;

/// <summary>Some samples of a channel in as little room as gives every one of them back to the bit.</summary>
/// <remarks>
/// A logger writes whole multiples of a power of ten, and within a few seconds a channel seldom has more than 65 536 of them: such samples are kept in two bytes each, in
/// four where they are further apart, numbers of single precision in four, and all others in eight. A quotient of two integers that a double holds exactly is rounded once, as a decimal
/// number is when it is read (IEEE 754-2019, 5.4.1 and 5.12.2), so that both are the same double. It is formed as P. Markstein does (IBM J. Res. Dev. 34 (1990) 111, from memory): product
/// with the inverse, then one correction by what is left over, a third of the time of a division. Nothing rests on that: each sample is compared with what its packed form gives back before it is taken.
/// </remarks>
internal readonly struct PackedPiece
{
    /// <summary>Decimals that are tried: ten to the ninth is the largest power that a 32-bit integer holds.</summary>
    private const int MostDecimals = 9;

    private static readonly double[] Powers = [1, 1e1, 1e2, 1e3, 1e4, 1e5, 1e6, 1e7, 1e8, 1e9];

    // One of these four.
    private readonly short[]? _shorts;
    private readonly int[]? _wholes;
    private readonly float[]? _singles;
    private readonly double[]? _doubles;

    private readonly int _middle;
    private readonly double _power;
    private readonly double _inverse;

    private PackedPiece(int length, short[]? shorts, int[]? wholes, float[]? singles, double[]? doubles, int middle = 0, double power = 1)
    {
        Length = length;
        _shorts = shorts;
        _wholes = wholes;
        _singles = singles;
        _doubles = doubles;
        _middle = middle;
        _power = power;
        _inverse = 1 / power;
    }

    /// <summary>Number of samples.</summary>
    public int Length { get; }

    /// <summary>Packs samples.</summary>
    /// <param name="samples">The samples; copied.</param>
    /// <param name="decimals">How many decimals they are thought to have, and on return have; only the time that is spent depends on it.</param>
    public static PackedPiece Of(ReadOnlySpan<double> samples, ref int decimals)
    {
        int[] room = ArrayPool<int>.Shared.Rent(samples.Length);
        Span<int> wholes = room.AsSpan(0, samples.Length);
        try
        {
            int guess = decimals;
            for (int tried = -1; tried <= MostDecimals; tried++)
            {
                int digits = tried < 0 ? guess : tried;
                if ((tried < 0 || tried != guess) && AreWhole(samples, Powers[digits], wholes))
                {
                    decimals = digits;
                    return OfWholes(samples, wholes, Powers[digits]);
                }
            }
        }
        finally
        {
            ArrayPool<int>.Shared.Return(room);
        }

        return OfSingles(samples) ?? new(samples.Length, null, null, null, samples.ToArray());
    }

    /// <summary>True when it is packed as decimals, which are finite.</summary>
    public bool IsFiniteThroughout => _shorts is not null || _wholes is not null;

    /// <summary>True for a factor and an offset that leave every number as it is, minus zero too: adding plus zero would make that plus zero.</summary>
    public static bool IsNothing(double factor, double offset) => factor == 1 && offset == 0 && double.IsNegative(offset);

    /// <summary>One sample.</summary>
    public double this[int index] => _shorts is not null ? Quotient(_shorts[index] + _middle, _power, _inverse)
        : _wholes is not null ? Quotient(_wholes[index], _power, _inverse)
        : _singles is not null ? _singles[index]
        : _doubles![index];

    /// <summary>Samples in order from one on, each times a factor plus an offset (1 and -0.0 leave it as it is): in the room, or where they are kept.</summary>
    public ReadOnlySpan<double> Read(int start, int count, Span<double> room, double factor, double offset)
    {
        if (_doubles is not null && IsNothing(factor, offset))
        {
            return _doubles.AsSpan(start, count);
        }

        Span<double> samples = room[..count];
        if (_shorts is not null)
        {
            Unpack(_shorts.AsSpan(start, count), samples, factor, offset);
        }
        else if (_wholes is not null)
        {
            Unpack(_wholes.AsSpan(start, count), samples, factor, offset);
        }
        else if (_singles is not null)
        {
            ReadOnlySpan<float> singles = _singles.AsSpan(start, count);
            for (int i = 0; i < samples.Length; i++)
            {
                samples[i] = (singles[i] * factor) + offset;
            }
        }
        else
        {
            ReadOnlySpan<double> doubles = _doubles.AsSpan(start, count);
            for (int i = 0; i < samples.Length; i++)
            {
                samples[i] = (doubles[i] * factor) + offset;
            }
        }

        return samples;
    }

    private void Unpack(ReadOnlySpan<short> packed, Span<double> samples, double factor, double offset)
    {
        int i = 0;
        if (Fma.IsSupported)
        {
            Vector128<int> middle = Vector128.Create(_middle);
            (Vector256<double> power, Vector256<double> inverse) = (Vector256.Create(_power), Vector256.Create(_inverse));
            (Vector256<double> factors, Vector256<double> offsets) = (Vector256.Create(factor), Vector256.Create(offset));
            for (; i <= packed.Length - Vector128<short>.Count; i += Vector128<short>.Count)
            {
                (Vector128<int> low, Vector128<int> high) = Vector128.Widen(Vector128.Create(packed[i..]));
                ((Quotient(Avx.ConvertToVector256Double(low + middle), power, inverse) * factors) + offsets).CopyTo(samples[i..]);
                ((Quotient(Avx.ConvertToVector256Double(high + middle), power, inverse) * factors) + offsets).CopyTo(samples[(i + Vector128<int>.Count)..]);
            }
        }

        for (; i < packed.Length; i++)
        {
            samples[i] = (Quotient(packed[i] + _middle, _power, _inverse) * factor) + offset;
        }
    }

    private void Unpack(ReadOnlySpan<int> packed, Span<double> samples, double factor, double offset)
    {
        int i = 0;
        if (Fma.IsSupported)
        {
            (Vector256<double> power, Vector256<double> inverse) = (Vector256.Create(_power), Vector256.Create(_inverse));
            (Vector256<double> factors, Vector256<double> offsets) = (Vector256.Create(factor), Vector256.Create(offset));
            for (; i <= packed.Length - Vector128<int>.Count; i += Vector128<int>.Count)
            {
                ((Quotient(Avx.ConvertToVector256Double(Vector128.Create(packed[i..])), power, inverse) * factors) + offsets).CopyTo(samples[i..]);
            }
        }

        for (; i < packed.Length; i++)
        {
            samples[i] = (Quotient(packed[i], _power, _inverse) * factor) + offset;
        }
    }

    private static Vector256<double> Quotient(Vector256<double> wholes, Vector256<double> power, Vector256<double> inverse)
    {
        Vector256<double> near = wholes * inverse;
        return Fma.MultiplyAdd(Fma.MultiplyAddNegated(near, power, wholes), inverse, near);
    }

    private static double Quotient(double whole, double power, double inverse)
    {
        double near = whole * inverse;
        return Math.FusedMultiplyAdd(Math.FusedMultiplyAdd(-near, power, whole), inverse, near);
    }

    /// <summary>True when each sample is the quotient of an integer and the power, to the bit: minus zero and what is not finite is none.</summary>
    private static bool AreWhole(ReadOnlySpan<double> samples, double power, Span<int> wholes)
    {
        int i = 0;
        double inverse = 1 / power;
        if (Fma.IsSupported)
        {
            (Vector256<double> powers, Vector256<double> inverses) = (Vector256.Create(power), Vector256.Create(inverse));
            for (; i <= samples.Length - Vector256<double>.Count; i += Vector256<double>.Count)
            {
                // Rounds to nearest; what no 32-bit integer holds becomes the lowest one, which gives another number back.
                Vector256<double> four = Vector256.Create(samples[i..]);
                Vector128<int> whole = Avx.ConvertToVector128Int32(four * powers);
                if (!Vector256.EqualsAll(Quotient(Avx.ConvertToVector256Double(whole), powers, inverses).AsInt64(), four.AsInt64()))
                {
                    return false;
                }

                whole.CopyTo(wholes[i..]);
            }
        }

        for (; i < samples.Length; i++)
        {
            double rounded = Math.Round(samples[i] * power);
            if (!(rounded is >= int.MinValue and <= int.MaxValue) || BitConverter.DoubleToInt64Bits(Quotient((int)rounded, power, inverse)) != BitConverter.DoubleToInt64Bits(samples[i]))
            {
                return false;
            }

            wholes[i] = (int)rounded;
        }

        return true;
    }

    private static PackedPiece OfWholes(ReadOnlySpan<double> samples, ReadOnlySpan<int> wholes, double power)
    {
        // The order of the samples is that of the integers.
        (double lowest, double highest) = Extremes.Of(samples);
        (int low, int high) = samples.IsEmpty ? (0, 0) : ((int)Math.Round(lowest * power), (int)Math.Round(highest * power));
        if ((long)high - low > ushort.MaxValue)
        {
            return new(wholes.Length, null, wholes.ToArray(), null, null, 0, power);
        }

        // Half of the span that two bytes hold above the lowest: sums wrap round on both ways alike.
        int middle = unchecked(low - short.MinValue);
        short[] shorts = GC.AllocateUninitializedArray<short>(wholes.Length);
        int i = 0;
        for (Vector128<int> middles = Vector128.Create(middle); i <= shorts.Length - Vector128<short>.Count; i += Vector128<short>.Count)
        {
            Vector128.Narrow(Vector128.Create(wholes[i..]) - middles, Vector128.Create(wholes[(i + Vector128<int>.Count)..]) - middles).CopyTo(shorts.AsSpan(i));
        }

        for (; i < shorts.Length; i++)
        {
            shorts[i] = unchecked((short)(wholes[i] - middle));
        }

        return new(wholes.Length, shorts, null, null, null, middle, power);
    }

    private static PackedPiece? OfSingles(ReadOnlySpan<double> samples)
    {
        foreach (double sample in samples)
        {
            if (BitConverter.DoubleToInt64Bits((float)sample) != BitConverter.DoubleToInt64Bits(sample))
            {
                return null;
            }
        }

        float[] singles = GC.AllocateUninitializedArray<float>(samples.Length);
        for (int i = 0; i < singles.Length; i++)
        {
            singles[i] = (float)samples[i];
        }

        return new(samples.Length, null, null, singles, null);
    }
}
