namespace Telemetry.Car;

/// <summary>Which formula governs a column.</summary>
public enum ColumnFormula
{
    /// <summary>Elastic buckling of a slender column.</summary>
    Euler,

    /// <summary>Johnson's parabola for a short one.</summary>
    Johnson,
}

/// <summary>The load at which a tubular strut buckles (equation E11).</summary>
/// <param name="LoadN">Critical load, N, above 0.</param>
/// <param name="Slenderness">Effective length over radius of gyration.</param>
/// <param name="TransitionSlenderness">The slenderness at which both formulas give half the yield strength.</param>
/// <param name="Formula">The formula that governs.</param>
/// <remarks>
/// Euler P = pi^2 E I / (K l)^2; Johnson P = A Sy (1 - Sy (K l/k)^2 / (4 pi^2 E)) below the slenderness sqrt(2 pi^2 E / Sy):
/// Shigley's Mechanical Engineering Design, chapter 4, sections on columns (from memory). Straight, centrally loaded,
/// without local buckling of a thin wall: a plausibility check on a limit, not a substitute for one.
/// </remarks>
public sealed record ColumnAllowable(double LoadN, double Slenderness, double TransitionSlenderness, ColumnFormula Formula)
{
    /// <summary>The allowable of a strut.</summary>
    /// <exception cref="ArgumentOutOfRangeException">A length, thickness, modulus or strength is not above 0, or the wall is more than half the diameter.</exception>
    public static ColumnAllowable Of(StrutDefinition strut)
    {
        ArgumentNullException.ThrowIfNull(strut);
        double outer = strut.OuterDiameterM;
        double inner = outer - (2 * strut.WallM);
        if (!(inner >= 0) || !(strut.WallM > 0))
        {
            throw new ArgumentOutOfRangeException(nameof(strut), strut.WallM, "The wall must be above 0 and at most half the diameter.");
        }

        double area = Math.PI / 4 * ((outer * outer) - (inner * inner));
        double second = Math.PI / 64 * (Math.Pow(outer, 4) - Math.Pow(inner, 4));
        return Of(area, second, strut.LengthM, strut.YoungsModulusPa, strut.YieldStrengthPa, strut.EndFixity);
    }

    /// <summary>The allowable of a column of any section.</summary>
    /// <param name="areaM2">Area of the section, m2.</param>
    /// <param name="secondMomentM4">Smallest second moment of area, m4.</param>
    /// <param name="lengthM">Length between the joints, m.</param>
    /// <param name="youngsModulusPa">Elastic modulus, Pa.</param>
    /// <param name="yieldStrengthPa">Compressive yield strength, Pa.</param>
    /// <param name="endFixity">K, effective length over length.</param>
    /// <exception cref="ArgumentOutOfRangeException">One of them is not above 0.</exception>
    public static ColumnAllowable Of(double areaM2, double secondMomentM4, double lengthM, double youngsModulusPa, double yieldStrengthPa, double endFixity = 1)
    {
        foreach ((double value, string name) in new[]
        {
            (areaM2, nameof(areaM2)), (secondMomentM4, nameof(secondMomentM4)), (lengthM, nameof(lengthM)),
            (youngsModulusPa, nameof(youngsModulusPa)), (yieldStrengthPa, nameof(yieldStrengthPa)), (endFixity, nameof(endFixity)),
        })
        {
            if (!(value > 0) || !double.IsFinite(value))
            {
                throw new ArgumentOutOfRangeException(name, value, "A column's measure must be above 0.");
            }
        }

        double slenderness = endFixity * lengthM / Math.Sqrt(secondMomentM4 / areaM2);
        double transition = Math.Sqrt(2 * Math.PI * Math.PI * youngsModulusPa / yieldStrengthPa);
        if (slenderness > transition)
        {
            return new(Math.PI * Math.PI * youngsModulusPa * areaM2 / (slenderness * slenderness), slenderness, transition, ColumnFormula.Euler);
        }

        double knockdown = yieldStrengthPa * slenderness * slenderness / (4 * Math.PI * Math.PI * youngsModulusPa);
        return new(areaM2 * yieldStrengthPa * (1 - knockdown), slenderness, transition, ColumnFormula.Johnson);
    }
}
