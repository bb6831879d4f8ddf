namespace Telemetry.Logs;

/// <summary>How finely the numbers of a time column are given.</summary>
internal static class ParquetTimes
{
    /// <summary>
    /// What one step of the numbers stands for: 1 for integers; the spacing of the binary number at the largest time;
    /// or the decimal place to which all of them are evidently rounded, since times often come from text.
    /// </summary>
    public static double Quantum(ReadOnlySpan<double> times, Type type)
    {
        double largest = 0;
        foreach (double time in times)
        {
            largest = Math.Max(largest, Math.Abs(time));
        }

        if (!double.IsFinite(largest))
        {
            return 0;
        }

        if (type == typeof(float))
        {
            return MathF.BitIncrement((float)largest) - (float)largest;
        }

        double spacing = type == typeof(double) ? Math.BitIncrement(largest) - largest : type == typeof(decimal) ? 0 : 1;
        const int mostDecimals = 6;
        for (int decimals = 0; decimals <= mostDecimals; decimals++)
        {
            double scale = Math.Pow(10, decimals);
            if (IsRoundedTo(times, scale, 4 * spacing * scale))
            {
                return Math.Max(1 / scale, spacing);
            }
        }

        return spacing;
    }

    private static bool IsRoundedTo(ReadOnlySpan<double> times, double scale, double tolerance)
    {
        foreach (double time in times)
        {
            double scaled = time * scale;
            if (Math.Abs(scaled - Math.Round(scaled)) > tolerance)
            {
                return false;
            }
        }

        return true;
    }
}
