namespace Telemetry.Car;

/// <summary>The load at which a crooked strut first yields at its edge.</summary>
/// <remarks>
/// Ayrton and Perry (1886), as in Timoshenko and Gere, Theory of Elastic Stability, chapter 1 (from memory): a half-wave of height e grows to e / (1 - P/Pe), so the edge
/// yields where P / A + P e c / (I (1 - P/Pe)) = Sy. With Py = A Sy, eta = e c / k^2: P^2 - P (Py + Pe (1 + eta)) + Py Pe = 0, the smaller root.
/// A load that is off the joints' centre by e does more than a bow of that height; where it is known, a crookedness of 4/pi e stands in for it at the Euler load (from memory).
/// </remarks>
public static class CrookedColumn
{
    /// <summary>Crookedness that is taken where none is measured, as a share of the length: the straightness to which tubes and struts are commonly made (EN 1090-2, from memory).</summary>
    public const double UsualShareOfLength = 0.001;

    /// <summary>The load, N, below Euler's and below the yield load.</summary>
    /// <param name="strut">The strut; its crookedness, or a thousandth of its length where none is given.</param>
    /// <exception cref="ArgumentOutOfRangeException">A measure is not above 0, as in <see cref="ColumnAllowable.Of(StrutDefinition)"/>.</exception>
    public static double FirstYieldN(StrutDefinition strut)
    {
        ColumnAllowable column = ColumnAllowable.Of(strut);
        double outer = strut.OuterDiameterM;
        double inner = outer - (2 * strut.WallM);
        double area = Math.PI / 4 * ((outer * outer) - (inner * inner));
        double gyrationSquared = ((outer * outer) + (inner * inner)) / 16;
        double euler = Math.PI * Math.PI * strut.YoungsModulusPa * area / (column.Slenderness * column.Slenderness);
        double yield = area * strut.YieldStrengthPa;
        double eta = (strut.CrookednessM ?? (UsualShareOfLength * strut.LengthM)) * (outer / 2) / gyrationSquared;
        double half = (yield + (euler * (1 + eta))) / 2;

        // The product over the larger root: the difference of two near numbers would lose digits.
        return yield * euler / (half + Math.Sqrt((half * half) - (yield * euler)));
    }
}
