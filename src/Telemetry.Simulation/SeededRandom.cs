namespace Telemetry.Simulation;

/// <summary>Random numbers that are the same on every machine and under every runtime.</summary>
/// <remarks>
/// Generator xoshiro256** with its state filled by SplitMix64 (Blackman and Vigna, "Scrambled linear pseudorandom number generators",
/// ACM TOMS 47 (2021) 36). The runtime's own generator may change between versions, so it is not used.
/// </remarks>
internal sealed class SeededRandom
{
    private ulong s0;
    private ulong s1;
    private ulong s2;
    private ulong s3;

    /// <summary>A stream of its own for one purpose, so that switching one effect off does not change another.</summary>
    public SeededRandom(ulong seed, string purpose)
    {
        // FNV-1a of the purpose keeps the streams apart.
        ulong hash = 14695981039346656037UL;
        foreach (char letter in purpose)
        {
            hash = unchecked((hash ^ letter) * 1099511628211UL);
        }

        ulong state = unchecked(seed + hash);
        s0 = Split(ref state);
        s1 = Split(ref state);
        s2 = Split(ref state);
        s3 = Split(ref state);
    }

    /// <summary>A generator in a given state.</summary>
    internal SeededRandom(ulong s0, ulong s1, ulong s2, ulong s3) => (this.s0, this.s1, this.s2, this.s3) = (s0, s1, s2, s3);

    /// <summary>The next 64 random bits.</summary>
    public ulong NextBits()
    {
        unchecked
        {
            ulong result = ulong.RotateLeft(s1 * 5, 7) * 9;
            ulong t = s1 << 17;
            s2 ^= s0;
            s3 ^= s1;
            s1 ^= s2;
            s0 ^= s3;
            s2 ^= t;
            s3 = ulong.RotateLeft(s3, 45);
            return result;
        }
    }

    /// <summary>Uniform in the open interval 0 to 1.</summary>
    public double Uniform() => ((NextBits() >> 12) + 0.5) * (1.0 / (1UL << 52));

    /// <summary>Normal with mean 0 and standard deviation 1.</summary>
    public double Normal() => NormalQuantile(Uniform());

    /// <summary>Inverse of the normal distribution function, to about 1e-9.</summary>
    /// <remarks>Rational approximations of P. J. Acklam (2003, from memory) for the middle and the tails; one call of a logarithm only in the tails.</remarks>
    internal static double NormalQuantile(double p)
    {
        const double tail = 0.02425;
        if (p > 1 - tail)
        {
            return -NormalQuantile(1 - p);
        }

        if (p < tail)
        {
            double r = Math.Sqrt(-2 * PortableMath.Log(p));
            return Horner(r, TailAbove) / Horner(r, TailBelow);
        }

        double q = p - 0.5;
        double square = q * q;
        return q * Horner(square, MiddleAbove) / Horner(square, MiddleBelow);
    }

    private static ReadOnlySpan<double> TailAbove =>
    [
        -7.784894002430293e-03, -3.223964580411365e-01, -2.400758277161838, -2.549732539343734, 4.374664141464968, 2.938163982698783,
    ];

    private static ReadOnlySpan<double> TailBelow =>
    [
        7.784695709041462e-03, 3.224671290700398e-01, 2.445134137142996, 3.754408661907416, 1,
    ];

    private static ReadOnlySpan<double> MiddleAbove =>
    [
        -3.969683028665376e+01, 2.209460984245205e+02, -2.759285104469687e+02, 1.383577518672690e+02, -3.066479806614716e+01, 2.506628277459239,
    ];

    private static ReadOnlySpan<double> MiddleBelow =>
    [
        -5.447609879822406e+01, 1.615858368580409e+02, -1.556989798598866e+02, 6.680131188771972e+01, -1.328068155288572e+01, 1,
    ];

    private static double Horner(double x, ReadOnlySpan<double> coefficients)
    {
        double sum = 0;
        foreach (double coefficient in coefficients)
        {
            sum = (sum * x) + coefficient;
        }

        return sum;
    }

    private static ulong Split(ref ulong state)
    {
        unchecked
        {
            state += 0x9E3779B97F4A7C15UL;
            ulong z = state;
            z = (z ^ (z >> 30)) * 0xBF58476D1CE4E5B9UL;
            z = (z ^ (z >> 27)) * 0x94D049BB133111EBUL;
            return z ^ (z >> 31);
        }
    }
}
