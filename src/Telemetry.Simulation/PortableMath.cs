namespace Telemetry.Simulation;

/// <summary>Sine, cosine, exponential and logarithm from plain additions and multiplications.</summary>
/// <remarks>
/// IEEE 754 fixes the result of + - * / and the square root, but not of the transcendental functions, which differ between platforms in the last
/// bit. A simulated log must have the same bytes everywhere, so these are computed here; the error is below 4e-16 of the largest value.
/// </remarks>
internal static class PortableMath
{
    // ln 2 and pi/2 in two parts each (Cody and Waite): the high part has enough trailing zero bits that n * high is exact.
    private const double Ln2High = 6.93147180369123816490e-01;
    private const double Ln2Low = 1.90821492927058770002e-10;
    private const double HalfPiHigh = 1.57079632673412561417;
    private const double HalfPiLow = 6.07710050650619224932e-11;

    /// <summary>Sine of an angle in radians, for angles up to some thousands of turns.</summary>
    public static double Sin(double angle) => Quarter(angle, 0);

    /// <summary>Cosine of an angle in radians, for angles up to some thousands of turns.</summary>
    public static double Cos(double angle) => Quarter(angle, 1);

    /// <summary>e to the power x, for results within the normal range of a double.</summary>
    public static double Exp(double x)
    {
        double n = Math.Round(x / 0.69314718055994530942, MidpointRounding.ToEven);
        double r = (x - (n * Ln2High)) - (n * Ln2Low);
        double sum = 1;
        for (int k = 18; k >= 1; k--)
        {
            sum = 1 + (sum * r / k);
        }

        return Math.ScaleB(sum, (int)n);
    }

    /// <summary>Natural logarithm of a positive normal number.</summary>
    public static double Log(double x)
    {
        int exponent = Math.ILogB(x);
        double mantissa = Math.ScaleB(x, -exponent);
        if (mantissa > 1.4142135623730951)
        {
            mantissa /= 2;
            exponent++;
        }

        // ln m = 2 artanh((m - 1) / (m + 1)), |argument| < 0.172.
        double z = (mantissa - 1) / (mantissa + 1);
        double square = z * z;
        double sum = 0;
        for (int k = 23; k >= 1; k -= 2)
        {
            sum = (sum * square) + (1.0 / k);
        }

        return (exponent * Ln2High) + ((2 * z * sum) + (exponent * Ln2Low));
    }

    private static double Quarter(double angle, int shift)
    {
        double n = Math.Round(angle / 1.57079632679489661923, MidpointRounding.ToEven);
        double r = (angle - (n * HalfPiHigh)) - (n * HalfPiLow);
        int quadrant = (int)(((long)n + shift) & 3);
        double value = (quadrant & 1) == 0 ? SinSmall(r) : CosSmall(r);
        return quadrant >= 2 ? -value : value;
    }

    private static double SinSmall(double r)
    {
        double square = r * r;
        double sum = 1;
        for (int k = 18; k >= 2; k -= 2)
        {
            sum = 1 - (sum * square / (k * (k + 1)));
        }

        return r * sum;
    }

    private static double CosSmall(double r)
    {
        double square = r * r;
        double sum = 1;
        for (int k = 17; k >= 1; k -= 2)
        {
            sum = 1 - (sum * square / (k * (k + 1)));
        }

        return sum;
    }
}
