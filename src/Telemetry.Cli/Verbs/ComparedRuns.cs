using Telemetry.Aero;
using Telemetry.Comparison;
using Telemetry.Output;
using Telemetry.Review;

namespace Telemetry.Cli.Verbs;

/// <summary>Reads what a comparison is given: logs and folders of earlier results, mixed as they come.</summary>
internal static class ComparedRuns
{
    /// <summary>Speeds nearer than this are the same, m/s.</summary>
    private const double SameMps = 0.01;

    /// <summary>The runs in the order given; each has a review when it is a log and a summary when it is a folder.</summary>
    /// <param name="paths">Logs and folders.</param>
    /// <param name="cars">Car files: none, one for all logs, or one for each path.</param>
    /// <param name="atMps">Speed asked for, or null.</param>
    /// <param name="pipeline">The stages.</param>
    /// <param name="progress">Told what is done.</param>
    public static List<Given> Read(IReadOnlyList<string> paths, IReadOnlyList<string> cars, double? atMps, Pipeline pipeline, Progress progress)
    {
        if (cars.Count > 1 && cars.Count != paths.Count)
        {
            throw new UsageError($"{cars.Count} car files are given for {paths.Count} runs. Give one --car for all logs, or one for each run in their order.");
        }

        List<Given> runs = [];
        progress.Expect(paths.Count(path => !Directory.Exists(path)));
        for (int i = 0; i < paths.Count; i++)
        {
            string path = paths[i];
            if (Directory.Exists(path))
            {
                runs.Add(new(null, SummaryFile.Read(Path.Combine(path, ResultFolder.Mark))));
                continue;
            }

            if (cars.Count == 0)
            {
                throw new UsageError($"'{path}' is no result folder. For a log, give the car file with --car.");
            }

            using Progress.LogProgress log = progress.Begin(Path.GetFileName(path));
            runs.Add(new(AnalyseVerb.Review(pipeline, cars[Math.Min(i, cars.Count - 1)], new ReviewRequest(path, atMps, null), log.Step), null));
        }

        return AtOneSpeed(runs);
    }

    /// <summary>Logs are estimated again at the lowest of the runs' reference speeds, so that all budgets belong to one speed; a kept result stays as it is.</summary>
    private static List<Given> AtOneSpeed(List<Given> runs)
    {
        double lowest = runs.Select(run => run.ReferenceMps).Where(double.IsFinite).DefaultIfEmpty(double.NaN).Min();
        return [.. runs.Select(run => run.Review is { Aero.AtReference: not null } review && Math.Abs(review.Aero.ReferenceSpeedMps - lowest) > SameMps
            ? Again(run, review, lowest)
            : run)];
    }

    private static Given Again(Given run, RunReview review, double speedMps)
    {
        AeroResult at = AeroEstimate.From(review.Wheels, AeroOptions.Default with { AtSpeedMps = speedMps });
        return at.AtReference is null ? run : run with { Review = review with { Aero = at } };
    }

    /// <summary>One run as it was given.</summary>
    internal sealed record Given(RunReview? Review, Summary? Kept)
    {
        public double ReferenceMps => Review is not null
            ? Review.Aero.AtReference is null ? double.NaN : Review.Aero.ReferenceSpeedMps
            : (Kept!.Aero.ReferenceSpeedKmh ?? double.NaN) / 3.6;

        /// <summary>Null for a kept result that predates the passes in the summary.</summary>
        public RunEvidence? Evidence => Review is not null ? EvidenceOfRun.From(Review)
            : Kept!.Aero.WithheldBecause is null || Kept.Aero.Evidence is not null ? EvidenceInSummary.From(Kept)
            : null;

        public Summary Summary => Kept ?? SummaryFile.From(Review!);
    }
}
