using System.CommandLine;
using Telemetry.Car;
using Telemetry.Logs;
using Telemetry.Output;

namespace Telemetry.Cli.Verbs;

/// <summary>Any log into our Parquet.</summary>
internal static class ImportVerb
{
    public static Command Create(Screen screen, Pipeline pipeline)
    {
        Argument<string> log = new("LOG") { Description = "The log: CSV or Parquet, plain or gzip." };
        Option<string?> file = new("--out") { Description = "The Parquet file to write. Default: beside the log, with the ending .parquet.", HelpName = "FILE" };
        Option<string?> car = new("--car") { Description = "A car file, for how the log is to be read (missing-value texts, separator, time column).", HelpName = "CAR" };
        Option<bool> force = new("--force") { Description = "Replace a file that is already there." };
        HelpExamples.Verb verb = new(
            "import",
            "Convert a log to Parquet, with unit and time base in the metadata of each column.",
            "pushrod import run7.csv --out run7.parquet")
        {
            log, file, car, force,
        };
        verb.SetAction(parsed => Run(screen, pipeline, parsed.GetRequiredValue(log), parsed.GetValue(file), parsed.GetValue(car), parsed.GetValue(force)));
        return verb;
    }

    private static int Run(Screen screen, Pipeline pipeline, string logPath, string? wanted, string? carPath, bool force)
    {
        LogOptions options = carPath is null ? LogOptions.Default : CarFile.Read(carPath).Log;
        if (wanted is not null)
        {
            // Told before anybody waits for a long log to be read.
            RequireFree(wanted, logPath, force);
        }

        RunLog log = pipeline.ReadLog(logPath, options);
        string path = wanted ?? Path.Combine(Path.GetDirectoryName(logPath) ?? "", RunFileName.Of(log.Name) + ".parquet");
        RequireFree(path, logPath, force);
        WholeFiles.Write((path, stream => pipeline.WriteLog(log, stream)));
        SheetPrinter.Print(
        [
            new(SheetPrinter.Plain($"{path}: {log.Channels.Length} channels"), Tone.Plain),
            .. log.Findings.Select(finding => new SheetLine(SheetPrinter.Plain($"  {finding.Where}: {finding.Message}"), Tone.Warning)),
        ], screen);
        return ExitCode.Done;
    }

    private static void RequireFree(string path, string logPath, bool force)
    {
        if (string.Equals(Path.GetFullPath(path), Path.GetFullPath(logPath), StringComparison.Ordinal))
        {
            throw new OutputError(path, "That is the log itself.", "Name another file with --out.");
        }

        if (File.Exists(path) && !force)
        {
            throw new OutputError(path, "The file is already there.", "Name another one with --out, or replace it with --force.");
        }
    }
}
