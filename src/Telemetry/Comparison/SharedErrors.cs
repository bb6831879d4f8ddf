namespace Telemetry.Comparison;

/// <summary>What whole runs share in error, line by line, and whether it cancels between runs.</summary>
/// <remarks>
/// A difference is sum G_r y_r over runs with sum G_r = 0. An error that all runs share (correlation 1) comes through as |sum G_r s_r|, which is what the change itself makes of it; one that each run
/// draws anew (correlation 0) as the root of sum (G_r s_r)^2 (GUM, JCGM 100:2008, 5.2.2).
/// </remarks>
internal static class SharedErrors
{
    /// <summary>How the names of lines begin whose error belongs to the car, its cells or the model and is the same in every run with one car file.</summary>
    private static readonly string[] Common =
    [
        "gain", "ratio", "place of", "height of", "wheelbase", "linkage", "drag", "tyre", "unsprung", "friction", "fuel burned", "mass",
        "pitch under", "effect of ride height", "curvature", "vertical accelerometer under way",
    ];

    /// <summary>Lines that the comparison finds for itself.</summary>
    private const string Density = "air density";

    /// <summary>How the names of the wind's lines begin.</summary>
    private const string Wind = "wind";

    /// <summary>How a front and a rear effect become one of a quantity, in its unit a newton, given the dynamic pressure of the run's day.</summary>
    internal readonly record struct Effect(double PerFront, double PerRear, double Level);

    /// <summary>The lines of a lift area or of the balance.</summary>
    /// <param name="runs">The runs.</param>
    /// <param name="weights">Weight of each run in the contrast.</param>
    /// <param name="effects">For each run how front and rear load enter the quantity.</param>
    /// <param name="windIsModelled">True when wind shifts have columns of their own.</param>
    /// <param name="driftIsOut">True when a drift from run to run was taken out.</param>
    /// <param name="options">Sizes of what is not in the budgets.</param>
    public static IEnumerable<DifferenceLine> Of(IReadOnlyList<RunEvidence> runs, double[] weights, IReadOnlyList<Effect> effects, bool windIsModelled, bool driftIsOut, ComparisonOptions options)
    {
        string[] names = [.. runs.SelectMany(run => run.Budget.Select(line => line.Name)).Distinct(StringComparer.Ordinal)];
        foreach (string name in names)
        {
            if (name == Density || (name.StartsWith(Wind, StringComparison.Ordinal) && windIsModelled))
            {
                continue;
            }

            bool isCommon = IsCommon(name, runs);
            double front = 0, rear = 0, squares = 0;
            for (int r = 0; r < runs.Count; r++)
            {
                foreach (EvidenceLine line in runs[r].Budget.Where(line => line.Name == name))
                {
                    double covariance = ((line.TotalLoadN * line.TotalLoadN) - (line.FrontLoadN * line.FrontLoadN) - (line.RearLoadN * line.RearLoadN)) / 2;
                    double f = weights[r] * effects[r].PerFront;
                    double b = weights[r] * effects[r].PerRear;
                    squares += Math.Max(0, (f * f * line.FrontLoadN * line.FrontLoadN) + (b * b * line.RearLoadN * line.RearLoadN) + (2 * f * b * covariance));

                    // The larger of the two is taken as positive: in runs of one car an error pulls the same way.
                    front += f * line.FrontLoadN * (line.FrontLoadN < line.RearLoadN && covariance < 0 ? -1 : 1);
                    rear += b * line.RearLoadN * (line.RearLoadN <= line.FrontLoadN && covariance < 0 ? -1 : 1);
                }
            }

            yield return new(name, isCommon ? Math.Abs(front + rear) : Math.Sqrt(squares), isCommon ? 1 : 0, RemarkOf(name, isCommon));
        }

        foreach (DifferenceLine line in DensityLines(runs, weights, effects, driftIsOut, options))
        {
            yield return line;
        }
    }

    /// <summary>One line of an error that each run draws anew with the same size.</summary>
    public static DifferenceLine EachRun(string name, double[] weights, Func<int, double> size, string remark) => new(
        name,
        Math.Sqrt(Enumerable.Range(0, weights.Length).Sum(r => weights[r] * weights[r] * size(r) * size(r))),
        0,
        remark);

    /// <summary>What the densities bring to a quantity that is a load over dynamic pressure.</summary>
    public static IEnumerable<DifferenceLine> DensityLines(IReadOnlyList<RunEvidence> runs, double[] weights, IReadOnlyList<Effect> effects, bool driftIsOut, ComparisonOptions options)
    {
        if (effects.All(effect => effect.Level == 0))
        {
            yield break;
        }

        bool logged = runs.All(run => run.Air.Source.StartsWith("log", StringComparison.Ordinal));
        bool assumed = runs.All(run => run.Air.IsAssumed);

        // A difference with a drift taken out has no error that is linear from run to run: its weights are those of A-B-A, whatever the line of drift was.
        bool oneNote = !logged && !assumed && driftIsOut && runs.All(run => run.Air.DensityKgM3 == runs[0].Air.DensityKgM3 && !run.Air.Source.StartsWith("log", StringComparison.Ordinal));
        if (logged || assumed || oneNote)
        {
            double shared = Enumerable.Range(0, runs.Count).Sum(r => weights[r] * effects[r].Level * Share(runs[r]));
            yield return new("air density, sensors or station", Math.Abs(shared), 1, "Cancels: one source for all runs.");
            double own = logged ? options.LoggedDensityShare : assumed ? options.AssumedDensityShare : options.NotedDensityShare;
            yield return EachRun("air density, change between runs", weights, r => effects[r].Level * own, logged ? "Sensors that repeat better." : "Log temperature and pressure in each run.");
        }
        else
        {
            yield return EachRun("air density", weights, r => effects[r].Level * Share(runs[r]), "Log temperature and pressure in each run, or note them for each and repeat the baseline.");
        }

        static double Share(RunEvidence run) => run.Air.StandardUncertaintyKgM3 / run.Air.DensityKgM3;
    }

    /// <summary>A weight that was stated anew for a run carries its own error; one that was not is the same weighing.</summary>
    private static bool IsCommon(string name, IReadOnlyList<RunEvidence> runs)
    {
        if (!Common.Any(start => name.StartsWith(start, StringComparison.Ordinal)))
        {
            return false;
        }

        string? field = name switch
        {
            "mass" => "mass without fuel",
            "place of the centre of gravity" => "sprung centre of gravity behind front axle",
            "height of the centre of gravity" => "centre of gravity height",
            _ => null,
        };
        return field is null || runs.Select(run => run.Setup.FirstOrDefault(f => f.Name == field)?.Value).Distinct(StringComparer.Ordinal).Count() == 1;
    }

    private static string RemarkOf(string name, bool isCommon) => isCommon
        ? "Cancels: the same in every run, so only what the change makes of it is left."
        : name.StartsWith("zero", StringComparison.Ordinal) ? "Longer standstills before and after each run, or more runs of each setup."
        : name.StartsWith(Wind, StringComparison.Ordinal) ? "A course or yaw-rate channel and straights of two headings, or an air-speed channel."
        : "More runs of each setup.";
}
