using System.Collections.Immutable;
using System.CommandLine;
using Telemetry.Car;
using Telemetry.Output;

namespace Telemetry.Cli.Verbs;

/// <summary>Explains a car file.</summary>
internal static class CheckVerb
{
    public static Command Create(Screen screen)
    {
        Option<string> car = Ask.Car();
        HelpExamples.Verb verb = new(
            "check",
            "Check a car file: what is wrong or missing in it, field by field, and which answers need which field.",
            "pushrod check --car car.toml")
        {
            car,
        };
        verb.SetAction(parsed => Run(screen, CarFile.Check(parsed.GetRequiredValue(car))));
        return verb;
    }

    private static int Run(Screen screen, CarFileCheck check)
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
