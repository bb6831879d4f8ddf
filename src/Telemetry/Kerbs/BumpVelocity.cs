namespace Telemetry.Kerbs;

/// <summary>Velocity of a damper over a few milliseconds.</summary>
internal static class BumpVelocity
{
    /// <summary>Time over which a velocity is taken, s: short against a strike, long against the steps of a potentiometer.</summary>
    public const double SpanS = 0.006;

    /// <summary>Samples on each side of the one whose velocity is asked for; at least one.</summary>
    public static int HalfSpan(double stepS) => Math.Max(1, (int)Math.Round(SpanS / stepS / 2));

    /// <summary>Difference across the span over its time, m/s; NaN beside a gap.</summary>
    /// <param name="before">Travel as many samples before the one that is asked for, m.</param>
    /// <param name="behind">Travel as many behind it, m.</param>
    /// <param name="half">How many.</param>
    /// <param name="stepS">Time between samples, s.</param>
    public static double Across(double before, double behind, int half, double stepS) => (behind - before) / (2 * half * stepS);

    /// <summary>Largest velocity in bump over a stretch of samples, m/s; NaN when none is known.</summary>
    public static double Largest(SampleSource? travelM, int from, int to, double stepS)
    {
        if (travelM is null)
        {
            return double.NaN;
        }

        int half = HalfSpan(stepS);
        int first = Math.Max(half, from), end = Math.Max(first, Math.Min(travelM.Length - half, to));
        ReadOnlySpan<double> near = first < end ? travelM.Between(first - half, end + half) : [];
        double largest = double.NaN;
        for (int i = 0; i < end - first; i++)
        {
            double velocity = Across(near[i], near[i + (2 * half)], half, stepS);
            largest = double.IsNaN(velocity) || largest > velocity ? largest : velocity;
        }

        return largest;
    }
}
