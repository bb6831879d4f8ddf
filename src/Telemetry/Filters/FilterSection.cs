namespace Telemetry.Filters;

/// <summary>One second-order section of a filter: (B0 + B1/z + B2/z^2) / (1 + A1/z + A2/z^2).</summary>
/// <remarks>
/// Dimensionless. A first-order section has B2 = A2 = 0.
/// The section is held in powers of d = z - 1: (B0 d^2 + NumeratorSlope d + NumeratorSum) / (d^2 + DenominatorSlope d + DenominatorSum).
/// For a cut-off far below the sample rate A1 is close to -2 and A2 close to 1, and all that tells two filters apart
/// stands in the last digits that rounding takes; the numbers above are small there and keep all of theirs.
/// Delta form: Middleton and Goodwin, Digital Control and Estimation (1990), chapter 3 (from memory).
/// </remarks>
public readonly record struct FilterSection
{
    internal FilterSection(double b0, double numeratorSlope, double numeratorSum, double denominatorSlope, double denominatorSum)
    {
        B0 = b0;
        NumeratorSlope = numeratorSlope;
        NumeratorSum = numeratorSum;
        DenominatorSlope = denominatorSlope;
        DenominatorSum = denominatorSum;
    }

    /// <summary>Weight of the newest input sample.</summary>
    public double B0 { get; }

    /// <summary>Weight of the input sample one step back, rounded from the numbers that the filter works with.</summary>
    public double B1 => NumeratorSlope - (2 * B0);

    /// <summary>Weight of the input sample two steps back, rounded likewise.</summary>
    public double B2 => NumeratorSum - NumeratorSlope + B0;

    /// <summary>Weight of the output sample one step back (it is subtracted), rounded likewise.</summary>
    public double A1 => DenominatorSlope - 2;

    /// <summary>Weight of the output sample two steps back (it is subtracted), rounded likewise: the product of the two poles.</summary>
    public double A2 => 1 - (DenominatorSlope - DenominatorSum);

    /// <summary>2 B0 + B1, with all its digits.</summary>
    public double NumeratorSlope { get; }

    /// <summary>B0 + B1 + B2, with all its digits; 0 where the section takes away a constant.</summary>
    public double NumeratorSum { get; }

    /// <summary>2 + A1, with all its digits.</summary>
    public double DenominatorSlope { get; }

    /// <summary>1 + A1 + A2, with all its digits; above 0.</summary>
    public double DenominatorSum { get; }

    /// <summary>What the section makes of a constant input: output over input once it has settled.</summary>
    public double ConstantGain => NumeratorSum / DenominatorSum;

    /// <summary>Samples in which the section's slowest transient falls by the factor e; 0 where it ends at once.</summary>
    internal double DecaySamples
    {
        get
        {
            double discriminant = (DenominatorSlope * DenominatorSlope) - (4 * DenominatorSum);
            if (discriminant < 0)
            {
                // A pair of complex poles: the product of the two is the square of their distance from the origin.
                return -2 / Math.Log(A2);
            }

            // Two real poles, written as their distances from z = 1 so that a pole close to 1 keeps its digits.
            double far = (DenominatorSlope + Math.Sqrt(discriminant)) / 2;
            double near = DenominatorSum / far;
            double radius = Math.Max(Math.Abs(1 - near), Math.Abs(1 - far));
            return radius > 0 ? -1 / Math.Log(radius) : 0;
        }
    }

    /// <summary>Magnitude of the section's response to a sine.</summary>
    /// <param name="halfTurnSine">sin(pi f / sample rate): half the length of z - 1 on the unit circle.</param>
    /// <param name="halfTurnCosine">cos(pi f / sample rate).</param>
    internal double Magnitude(double halfTurnSine, double halfTurnCosine)
    {
        // On the unit circle d = z - 1 = 2 sin(h) (-sin(h) + j cos(h)), with h half the turn per sample.
        double dRe = -2 * halfTurnSine * halfTurnSine;
        double dIm = 2 * halfTurnSine * halfTurnCosine;
        double squareRe = (dRe * dRe) - (dIm * dIm);
        double squareIm = 2 * dRe * dIm;
        double topRe = (B0 * squareRe) + (NumeratorSlope * dRe) + NumeratorSum;
        double topIm = (B0 * squareIm) + (NumeratorSlope * dIm);
        double bottomRe = squareRe + (DenominatorSlope * dRe) + DenominatorSum;
        double bottomIm = squareIm + (DenominatorSlope * dIm);
        return double.Hypot(topRe, topIm) / double.Hypot(bottomRe, bottomIm);
    }
}
