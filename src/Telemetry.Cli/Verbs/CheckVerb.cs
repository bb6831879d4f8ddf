using System.Collections.Immutable;
using System.CommandLine;
using Telemetry.Car;
using Telemetry.Health;
using Telemetry.Ledger;
using Telemetry.Output;
using Telemetry.Review;
using Telemetry.Zero;

namespace Telemetry.Cli.Verbs;

/// <summary>Explains a car file, or tells what in a log can be believed.</summary>
internal static class CheckVerb
{
    public static Command Create(Screen screen, Pipeline pipeline)
    {
        Argument<string?> log = new("LOG") { Description = "A run's log: its health sheet is printed. Without it the car file is explained.", Arity = ArgumentArity.ZeroOrOne };
        Option<string> car = Ask.Car();
        Option<string?> zeros = Ask.Zeros("Zero file of the load cells. With a log: it borrows from it and is kept up with the log. Without: each cell's zeros, and whether they drift or stepped.");
        Option<DateTimeOffset?> date = Ask.Date("Day of the run, or day for which the calibrations should hold: 2026-03-31.");
        Option<bool> failOnFinding = new("--fail-on-finding") { Description = "End with exit code 1 when the log is unusable for loads." };
        Option<bool> quiet = Ask.Quiet();
        CleaningAsked cleaning = new();
        HelpExamples.Verb verb = new(
            "check",
            "Check a log: can it be trusted, for which answers, and what is wrong with it. Or a car file: what is wrong or missing in it, and which answers need which field.",
            "pushrod check run7.csv --car car.toml",
            "pushrod check --car car.toml",
            "pushrod check --car car.toml --zeros zeros.jsonl")
        {
            log, car, cleaning.Spikes, cleaning.BridgeGaps, zeros, date, failOnFinding, quiet,
        };
        verb.SetAction(parsed => parsed.GetValue(log) is string path
            ? RunLog(
                screen,
                pipeline,
                parsed.GetRequiredValue(car),
                new ReviewRequest(path, null, null) { Cleaning = cleaning.Of(parsed), ZerosPath = parsed.GetValue(zeros), TakenAtUtc = parsed.GetValue(date) },
                parsed.GetValue(failOnFinding),
                parsed.GetValue(quiet))
            : Run(screen, CarFile.Check(parsed.GetRequiredValue(car)), parsed.GetValue(zeros), parsed.GetValue(date)));
        return verb;
    }

    private static int RunLog(Screen screen, Pipeline pipeline, string carPath, ReviewRequest request, bool failOnFinding, bool isQuiet)
    {
        if (request.ZerosPath is not null)
        {
            pipeline.RequireZeros(request.ZerosPath);
        }

        RunReview review;
        using (Progress progress = new(screen, isQuiet))
        {
            review = AnalyseVerb.Review(pipeline, carPath, request, progress.Step, (_, read) => request = read);
            if (request.ZerosPath is not null)
            {
                progress.Step("keeping the zero file");
                pipeline.KeepZeros(review, request);
            }
        }

        SheetPrinter.Print(HealthSheet.From(review), screen);
        return failOnFinding && review.Health.Verdict == HealthVerdict.Unusable ? ExitCode.Finding : ExitCode.Done;
    }

    private static int Run(Screen screen, CarFileCheck check, string? zerosPath, DateTimeOffset? date)
    {
        ImmutableArray<SheetLine>.Builder lines = ImmutableArray.CreateBuilder<SheetLine>();
        lines.Add(check.Car is CarDefinition car
            ? new($"{check.Source}: {car.Name}. The file can be used.", Tone.Good)
            : new($"{check.Source}: the file cannot be used; {check.Faults.Length} to correct.", Tone.Alarm));
        Faults(lines, "To correct:", check.Faults, Tone.Alarm);
        Faults(lines, "To look at:", check.Warnings, Tone.Warning);
        if (check.Answers.Length > 0)
        {
            lines.Add(new("Answers that the file carries, if the log has the channels:", Tone.Heading));
            foreach (AnswerNeeds answer in check.Answers)
            {
                Answer(lines, answer);
            }
        }

        if (check.Car is CarDefinition usable)
        {
            lines.AddRange(CalibrationSheet.Of(usable, date is { } at ? DateOnly.FromDateTime(at.UtcDateTime) : null));
            if (zerosPath is not null)
            {
                lines.AddRange(ZeroSheet.Of(zerosPath, ZeroTrend.Of(ZeroFile.Read(zerosPath), usable)));
            }
        }

        SheetPrinter.Print(lines.Select(line => line with { Text = SheetPrinter.Plain(line.Text) }), screen);
        return check.IsUsable ? ExitCode.Done : ExitCode.BadInput;
    }

    private static void Faults(ImmutableArray<SheetLine>.Builder lines, string heading, ImmutableArray<InputFault> faults, Tone tone)
    {
        if (faults.IsEmpty)
        {
            return;
        }

        lines.Add(new(heading, Tone.Heading));
        lines.AddRange(faults.Select(fault => new SheetLine("  " + fault, tone)));
    }

    private static void Answer(ImmutableArray<SheetLine>.Builder lines, AnswerNeeds answer)
    {
        string name = Words(answer.Answer) + (answer.ComponentId is string id ? $" of {id}" : "");
        lines.Add(answer.IsCarried
            ? new($"  {name}: yes", Tone.Good)
            : new($"  {name}: no, for want of {string.Join(", ", answer.Missing)}", Tone.Warning));
        lines.AddRange(answer.WouldImprove.Select(better => new SheetLine($"    better with {better}", Tone.Muted)));
    }

    private static string Words(CarAnswer answer) => answer switch
    {
        CarAnswer.Health => "health of the log",
        CarAnswer.Zero => "zero of the load cells",
        CarAnswer.WheelLoads => "wheel loads",
        CarAnswer.ContactPatchLoads => "contact-patch loads",
        CarAnswer.AeroLoad => "aero load in still air",
        CarAnswer.AeroInMovingAir => "aero load with the wind",
        CarAnswer.Platform => "platform",
        CarAnswer.KerbStrikes => "kerb strikes",
        CarAnswer.Fatigue => "fatigue",
        CarAnswer.Shims => "shims",
        _ => answer.ToString(),
    };
}
