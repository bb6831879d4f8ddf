using System.CommandLine;
using System.Globalization;
using System.Text;
using Telemetry.Car;
using Telemetry.Comparison;
using Telemetry.Output;
using Telemetry.Output.Compared;

namespace Telemetry.Cli.Verbs;

/// <summary>What changed between runs, and whether the change is real.</summary>
internal static class CompareVerb
{
    public static Command Create(Screen screen, Pipeline pipeline)
    {
        Argument<string[]> runs = new("RUN") { Description = "Two or more runs in the order driven, the baseline first: result folders of 'analyse', or logs.", Arity = new ArgumentArity(2, 100) };
        Option<string[]> car = new("--car") { Description = "The car file of the logs; once for all, or once for each run.", HelpName = "CAR", Arity = ArgumentArity.OneOrMore };
        Option<string?> setups = new("--setups") { Description = "Which runs are alike, one label a run: A,B,A. Needed for three or more runs where car files agree.", HelpName = "LABELS" };
        Option<double?> at = Ask.ForQuantity("--at", "SPEED", "Air speed of the comparison, for logs: \"250 km/h\".", Quantity.ReadSpeed);
        Option<double?> wanted = Ask.ForQuantity("--wanted", "SHARE", "Difference that you want to see: \"1.5 %\" (default).", Quantity.ReadShare);
        Option<double?> matters = Ask.ForQuantity("--matters", "SHARE", "Smallest difference that matters: \"0.5 %\". Default: any.", Quantity.ReadShare);
        Option<string?> folder = new("--out") { Description = "Folder for comparison.html, comparison.json, differences.csv and the pictures.", HelpName = "DIR" };
        Option<bool> json = new("--json") { Description = "Print the comparison as JSON instead of lines." };
        Option<bool> quiet = Ask.Quiet();
        HelpExamples.Verb verb = new(
            "compare",
            "Compare the aero load of runs of one car at the same air speed, and say whether a change is real. Repeat the baseline (A-B-A) to tell a drift from the change.",
            "pushrod compare run7 run8",
            "pushrod compare a.csv b.csv a2.csv --car car.toml --setups A,B,A")
        {
            runs, car, setups, at, wanted, matters, folder, json, quiet,
        };
        car.AllowMultipleArgumentsPerToken = false;
        verb.SetAction(parsed => Run(screen, pipeline, new(
            parsed.GetRequiredValue(runs),
            parsed.GetValue(car) ?? [],
            parsed.GetValue(at),
            Options(parsed.GetValue(setups), parsed.GetValue(wanted), parsed.GetValue(matters)),
            parsed.GetValue(folder),
            parsed.GetValue(json),
            parsed.GetValue(quiet))));
        return verb;
    }

    private static ComparisonOptions Options(string? setups, double? wanted, double? matters)
    {
        foreach ((string name, double? share) in new[] { ("--wanted", wanted), ("--matters", matters) })
        {
            if (share is double value && !(value > 0 && value < 1))
            {
                throw new UsageError($"Option '{name}': a difference lies between 0 and 100 %: write \"1.5 %\".");
            }
        }

        ComparisonOptions options = ComparisonOptions.Default;
        return options with
        {
            Setups = setups is null ? [] : [.. setups.Split(',', StringSplitOptions.TrimEntries | StringSplitOptions.RemoveEmptyEntries)],
            WantedShare = wanted ?? options.WantedShare,
            SmallestShare = matters ?? options.SmallestShare,
        };
    }

    private static int Run(Screen screen, Pipeline pipeline, Request request)
    {
        List<ComparedRuns.Given> given;
        using (Progress progress = new(screen, request.Quiet))
        {
            given = ComparedRuns.Read(request.Paths, request.Cars, request.AtMps, pipeline, progress);
        }

        RunEvidence?[] evidence = [.. given.Select(run => run.Evidence)];
        if (evidence.Any(run => run is null))
        {
            PrintOld(screen, given);
            return ExitCode.Done;
        }

        ComparisonResult result = SetupComparison.From([.. evidence.Select(run => run!)], request.Options);
        if (request.Folder is string folder)
        {
            ComparisonResults.Write(result, [.. given.Select(run => run.Summary)], folder, request.Options.WantedShare);
        }

        if (request.AsJson)
        {
            screen.Out.Write(Encoding.UTF8.GetString(ComparisonFile.ToJson(result)));
        }
        else
        {
            SheetPrinter.Print(ComparisonSheet.From(result).Select(line => line with { Text = SheetPrinter.Plain(line.Text) }), screen);
        }

        return ExitCode.Done;
    }

    /// <summary>Results that were written before the passes were kept: headline against headline, as independent.</summary>
    private static void PrintOld(Screen screen, List<ComparedRuns.Given> runs)
    {
        List<SheetLine> lines = [];
        for (int i = 1; i < runs.Count; i++)
        {
            (Summary first, Summary second) = (runs[0].Summary, runs[i].Summary);
            AddOld(lines, first, second, RunComparison.Between(first, second));
        }

        lines.Add(new("A result here does not hold its passes (it has no aero load, or was written by an earlier", Tone.Warning));
        lines.Add(new("version), so they cannot be paired. Analyse its log again for a sharper answer.", Tone.Warning));
        SheetPrinter.Print(lines.Select(line => line with { Text = SheetPrinter.Plain(line.Text) }), screen);
    }

    private static void AddOld(List<SheetLine> lines, Summary first, Summary second, RunComparison comparison)
    {
        lines.Add(new($"{first.Run.Name} against {second.Run.Name}", Tone.Heading));
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
    }

    private sealed record Request(string[] Paths, string[] Cars, double? AtMps, ComparisonOptions Options, string? Folder, bool AsJson, bool Quiet);
}
