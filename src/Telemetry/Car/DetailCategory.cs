namespace Telemetry.Car;

/// <summary>The S-N lines of EN 1993-1-9:2005 for direct stress (clause 7.1, from memory).</summary>
public static class DetailCategory
{
    /// <summary>The line of a detail category.</summary>
    /// <param name="categoryPa">Stress range at 2e6 cycles, Pa, above 0 (category 71 is 71 MPa).</param>
    /// <returns>Slope 3 down to the constant-amplitude limit at 5e6 cycles, slope 5 from there, no damage at or below the cut-off at 1e8 cycles; ranges in Pa.</returns>
    /// <remarks>
    /// The limit is (2/5)^(1/3) = 0.737 of the category and the cut-off (5/100)^(1/5) = 0.549 of that limit. The roots are used and
    /// not the rounded factors, so that the pieces meet.
    /// </remarks>
    /// <exception cref="ArgumentOutOfRangeException">The category is not above 0.</exception>
    public static SnLine Line(double categoryPa)
    {
        if (!(categoryPa > 0) || !double.IsFinite(categoryPa))
        {
            throw new ArgumentOutOfRangeException(nameof(categoryPa), categoryPa, "A detail category is a stress range above 0.");
        }

        double limit = categoryPa * Math.Cbrt(2.0 / 5.0);
        return new SnLine([new SnPoint(5e6, limit)], SlopeAbove: 3, SlopeBelow: 5, CutOffRange: limit * Math.Pow(5.0 / 100.0, 0.2));
    }
}
