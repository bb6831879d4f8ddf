namespace Telemetry.Benchmarks.Table;

/// <summary>The exponent p of time = c size^p: a straight line through the logarithms, least squares over every run.</summary>
/// <param name="Exponent">1 where time grows in proportion.</param>
/// <param name="StandardError">Standard error of the exponent, from the scatter about the line with n - 2 degrees of freedom.</param>
internal readonly record struct GrowthFit(double Exponent, double StandardError)
{
    /// <summary>Fits.</summary>
    /// <param name="runs">Size and seconds of each run; three or more, of two sizes or more.</param>
    public static GrowthFit Of(IReadOnlyList<(double Size, double Seconds)> runs)
    {
        double meanX = runs.Average(run => Math.Log(run.Size));
        double meanY = runs.Average(run => Math.Log(run.Seconds));
        double spread = runs.Sum(run => Square(Math.Log(run.Size) - meanX));
        double slope = runs.Sum(run => (Math.Log(run.Size) - meanX) * (Math.Log(run.Seconds) - meanY)) / spread;
        double left = runs.Sum(run => Square(Math.Log(run.Seconds) - meanY - (slope * (Math.Log(run.Size) - meanX))));
        return new(slope, Math.Sqrt(left / (runs.Count - 2) / spread));
    }

    /// <summary>A row of the table.</summary>
    /// <param name="task">What grows.</param>
    /// <param name="what">What the size counts: "rows", "channels".</param>
    /// <param name="runs">Size and seconds of each run.</param>
    public static TableRow Row(string task, string what, IReadOnlyList<(double Size, double Seconds)> runs)
    {
        GrowthFit fit = Of(runs);
        IEnumerable<string> sizes = runs.GroupBy(run => run.Size).OrderBy(group => group.Key).Select(group =>
            FormattableString.Invariant($"{group.Key:#,0}: {Shown.Seconds(Timing.Of(group.Select(run => run.Seconds)).MedianS)}"));
        return new(task, what, FormattableString.Invariant($"exponent {fit.Exponent:0.00} ± {fit.StandardError:0.00} (standard error)"))
        {
            Reached = string.Join("; ", sizes) + FormattableString.Invariant($" ({runs.Count} runs)"),
        };
    }

    private static double Square(double x) => x * x;
}
