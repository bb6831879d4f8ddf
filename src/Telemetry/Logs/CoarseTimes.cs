using System.Globalization;

namespace Telemetry.Logs;

/// <summary>Finds times that went through single precision (IEEE 754 binary32, 24 digits): after nine hours it cannot tell milliseconds apart.</summary>
internal static class CoarseTimes
{
    /// <summary>Rows that are looked at: a number with other rounding passes by chance in about half of the cases, so that these are more than enough.</summary>
    private const int MostLookedAt = 2000;

    /// <summary>Fewer rows cannot show that a grid explains them.</summary>
    private const int LeastRows = 20;

    /// <summary>Rounding below this share of a step says nothing that a finding is worth.</summary>
    private const double LeastShareOfStep = 0.01;

    /// <summary>The table with the even grid that explains coarse times in their place; the same table when its times are not coarse, or no grid explains them.</summary>
    /// <param name="table">The table; times in any order.</param>
    /// <param name="finding">What was seen and done, or null.</param>
    public static LogTable Resolve(LogTable table, out LogFinding? finding)
    {
        finding = null;
        double[] times = table.TimesS;
        if (times.Length < LeastRows || table.TimeUnitsPerSecond is not { } unitsPerSecond || IsRegular(times, table.TimeQuantumS, out bool goesBack))
        {
            return table;
        }

        double largest = Math.Max(Math.Abs(times[0]), Math.Abs(times[^1])) * unitsPerSecond;
        double spacingS = (MathF.BitIncrement((float)largest) - (float)largest) / unitsPerSecond;
        double quantum = table.TimeQuantumS * unitsPerSecond;
        bool isSingle = table.TimeIsSingle || (spacingS > table.TimeQuantumS && AreSingle(times, unitsPerSecond, quantum));
        if (!isSingle)
        {
            return table;
        }

        TimeBase? grid = goesBack ? null : TimeGrid.FindEven(Singles(times, unitsPerSecond), spacingS);
        double stepS = grid?.StepS ?? ((times[^1] - times[0]) / (times.Length - 1));
        if (spacingS < LeastShareOfStep * stepS)
        {
            return grid is null ? table : table with { TimesS = Exact(grid), TimeQuantumS = 0 };
        }

        string rounded = string.Create(CultureInfo.InvariantCulture, $"Times have single precision: at the end of the log they are rounded to {TimeGrid.Seconds(spacingS)}, {spacingS / stepS:G2} of a step.");
        finding = new(
            grid is not null && spacingS < stepS ? LogFindingKind.Note : LogFindingKind.CoarseTime,
            $"{table.FileName}, column '{table.TimeColumn.Name}'",
            grid is not null
                ? $"{rounded} An even grid of {TimeGrid.Seconds(grid.StepS)} explains all of them and is used in their place."
                : $"{rounded} No even grid explains them; the times are kept.",
            times.Length,
            times[0]);
        return grid is null ? table with { TimeQuantumS = spacingS } : table with { TimesS = Exact(grid), TimeQuantumS = 0 };
    }

    /// <summary>True when steps are of one size within rounding and none is missing: nothing has to be explained then.</summary>
    private static bool IsRegular(double[] times, double quantumS, out bool goesBack)
    {
        (double shortest, double longest) = Extremes.OfSteps(times);
        goesBack = shortest < 0;
        return shortest > 0 && longest - shortest <= 1.5 * quantumS;
    }

    /// <summary>True when every time looked at is a single-precision number, as far as its text tells: in full, or in the fewest digits that give it back.</summary>
    private static bool AreSingle(double[] times, double unitsPerSecond, double quantum)
    {
        int stride = Math.Max(1, times.Length / MostLookedAt);
        for (int i = times.Length - 1; i >= 0; i -= stride)
        {
            double written = times[i] * unitsPerSecond;
            float single = (float)written;
            double slack = 4 * Math.ScaleB(Math.Abs(written), -52);
            if (Math.Abs(written - single) > (quantum / 2) + slack
                && Math.Abs(written - double.Parse(single.ToString("R", CultureInfo.InvariantCulture), CultureInfo.InvariantCulture)) > slack)
            {
                return false;
            }
        }

        return true;
    }

    /// <summary>The numbers that the logger had: the fewest digits that give a single-precision number back are themselves a rounding of it.</summary>
    private static double[] Singles(double[] times, double unitsPerSecond)
    {
        double[] singles = new double[times.Length];
        for (int i = 0; i < singles.Length; i++)
        {
            singles[i] = (float)(times[i] * unitsPerSecond) / unitsPerSecond;
        }

        return singles;
    }

    private static double[] Exact(TimeBase grid)
    {
        double[] times = new double[grid.Count];
        for (int i = 0; i < times.Length; i++)
        {
            times[i] = grid.At(i);
        }

        return times;
    }
}
