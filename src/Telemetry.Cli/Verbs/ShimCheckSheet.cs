using System.Globalization;
using Telemetry.Car;
using Telemetry.Output;
using Telemetry.Platform;
using Telemetry.Review;

namespace Telemetry.Cli.Verbs;

/// <summary>Was the change made? Two logs' standstills against the plan.</summary>
internal static class ShimCheckSheet
{
    public static int Run(Screen screen, Pipeline pipeline, string carPath, ShimPlan plan, string[] logs, Progress progress)
    {
        progress.Expect(logs.Length);
        RunReview before = Review(pipeline, carPath, logs[0], progress);
        RunReview after = Review(pipeline, carPath, logs[1], progress);
        progress.Dispose();
        PerAxle<AxleCheck> checks = ShimCheck.From(before.Wheels, after.Wheels, new(plan.Axles.Front.AchievedM, plan.Axles.Rear.AchievedM));
        List<SheetLine> lines = [new($"{before.Run.Name} before, {after.Run.Name} after: static ride height", Tone.Heading)];
        Add(lines, "Front", checks.Front);
        Add(lines, "Rear", checks.Rear);
        SheetPrinter.Print(lines.Select(line => line with { Text = SheetPrinter.Plain(line.Text) }), screen);
        return ExitCode.Done;
    }

    private static RunReview Review(Pipeline pipeline, string carPath, string path, Progress progress)
    {
        using Progress.LogProgress log = progress.Begin(Path.GetFileName(path));
        return AnalyseVerb.Review(pipeline, carPath, new ReviewRequest(path, null, null), log.Step);
    }

    private static void Add(List<SheetLine> lines, string name, AxleCheck check)
    {
        string verdict = check.Verdict switch
        {
            ChangeMade.Made => "made",
            ChangeMade.NotMade => "NOT made",
            ChangeMade.OtherChange => "ANOTHER change",
            _ => "cannot be told",
        };
        string measured = check.MeasuredM is { } change
            ? string.Create(CultureInfo.InvariantCulture, $"{change.Value * 1000:+0.00;-0.00} mm (95 %: {change.Low95 * 1000:+0.00;-0.00} to {change.High95 * 1000:+0.00;-0.00})")
            : "not read";
        bool nothingPlanned = check.PredictedM == 0 && check.Verdict == ChangeMade.CannotBeTold && check.MeasuredM is not null;
        lines.Add(new(
            string.Create(CultureInfo.InvariantCulture, $"{name}: {(nothingPlanned ? "unchanged, as planned" : verdict)}; planned {check.PredictedM * 1000:+0.00;-0.00;0.00} mm, measured {measured}"),
            nothingPlanned || check.Verdict == ChangeMade.Made ? Tone.Good : Tone.Warning));
        if (!nothingPlanned)
        {
            lines.Add(new("  " + check.Because, Tone.Muted));
        }
    }
}
