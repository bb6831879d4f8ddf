using System.CommandLine;
using System.Globalization;
using Telemetry.Output;

namespace Telemetry.Cli.Verbs;

/// <summary>What changed between two runs, and whether the change is real.</summary>
internal static class CompareVerb
{
    public static Command Create(Screen screen, Pipeline pipeline)
    {
        Argument<string> first = new("A") { Description = "The baseline: a result folder of 'analyse', or a log." };
        Argument<string> second = new("B") { Description = "The other run: a result folder, or a log." };
        Option<string?> car = new("--car") { Description = "The car file, when A or B is a log.", HelpName = "CAR" };
        Option<bool> quiet = Ask.Quiet();
        HelpExamples.Verb verb = new(
            "compare",
            "Compare the aero load of two runs of one car at the same air speed, and say whether a change is real.",
            "pushrod compare run7 run8",
            "pushrod compare run7 run8.csv --car car.toml")
        {
            first, second, car, quiet,
        };
        verb.SetAction(parsed =>
        {
            string? carPath = parsed.GetValue(car);
            RunComparison comparison;
            (Summary a, Summary b) runs;
            using (Progress progress = new(screen, parsed.GetValue(quiet)))
            {
                runs = (Summarise(pipeline, parsed.GetRequiredValue(first), carPath, progress), Summarise(pipeline, parsed.GetRequiredValue(second), carPath, progress));
                comparison = RunComparison.Between(runs.a, runs.b);
            }

            Print(screen, runs.a, runs.b, comparison);
            return ExitCode.Done;
        });
        return verb;
    }

    private static Summary Summarise(Pipeline pipeline, string path, string? carPath, Progress progress)
    {
        if (Directory.Exists(path))
        {
            return SummaryFile.Read(Path.Combine(path, ResultFolder.Mark));
        }

        if (carPath is null)
        {
            throw new UsageError($"'{path}' is no result folder. For a log, give the car file with --car.");
        }

        return SummaryFile.From(AnalyseVerb.Review(pipeline, carPath, new ReviewRequest(path, null, null), progress.Step));
    }

    private static void Print(Screen screen, Summary first, Summary second, RunComparison comparison)
    {
        List<SheetLine> lines = [new($"{first.Run.Name} against {second.Run.Name}", Tone.Heading)];
        if (comparison.WithheldBecause is string reason)
        {
            lines.Add(new($"Nothing can be compared. {reason}", Tone.Warning));
        }
        else
        {
            lines.Add(new(string.Create(CultureInfo.InvariantCulture,
                $"At {comparison.SpeedKmh:F0} km/h air speed; loads at {RunComparison.DensityKgM3} kg/m3, so that the weather does not count."), Tone.Muted));
            lines.AddRange(comparison.Quantities.Select(quantity =>
                new SheetLine("  " + quantity.Statement, quantity.IsReal ? Tone.Warning : Tone.Plain)));
            lines.Add(new("Intervals are 95 %. The runs count as independent: what both share (masses, ratios) would", Tone.Muted));
            lines.Add(new("cancel and is counted all the same, so a real change stays real and a small one may be missed.", Tone.Muted));
        }

        lines.AddRange(comparison.Notes.Select(note => new SheetLine(note, Tone.Warning)));
        SheetPrinter.Print(lines.Select(line => line with { Text = SheetPrinter.Plain(line.Text) }), screen);
    }
}
