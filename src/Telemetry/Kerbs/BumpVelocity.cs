namespace Telemetry.Kerbs;

/// <summary>Velocity of a damper over a few milliseconds.</summary>
internal static class BumpVelocity
{
    /// <summary>Time over which a velocity is taken, s: short against a strike, long against the steps of a potentiometer.</summary>
    public const double SpanS = 0.006;

    /// <summary>Samples on each side of the one whose velocity is asked for; at least one.</summary>
    public static int HalfSpan(double stepS) => Math.Max(1, (int)Math.Round(SpanS / stepS / 2));

    /// <summary>Difference across the span over its time, m/s; NaN beside a gap.</summary>
    public static double At(SampleSource travelM, int index, int half, double stepS) =>
        (travelM[index + half] - travelM[index - half]) / (2 * half * stepS);

    /// <summary>Largest velocity in bump over a stretch of samples, m/s; NaN when none is known.</summary>
    public static double Largest(SampleSource? travelM, int from, int to, double stepS)
    {
        if (travelM is null)
        {
            return double.NaN;
        }

        int half = HalfSpan(stepS);
        double largest = double.NaN;
        for (int i = Math.Max(half, from); i < Math.Min(travelM.Length - half, to); i++)
        {
            double velocity = At(travelM, i, half, stepS);
            largest = double.IsNaN(velocity) || largest > velocity ? largest : velocity;
        }

        return largest;
    }
}
