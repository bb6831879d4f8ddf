using System.Text;

namespace Telemetry.Car;

/// <summary>A check of a car file as plain text, for a terminal or a mail.</summary>
public static class CarCheckText
{
    /// <summary>Faults, warnings and answers, each on its own line; lines end in a line feed.</summary>
    /// <param name="check">The check.</param>
    public static string Of(CarFileCheck check)
    {
        ArgumentNullException.ThrowIfNull(check);
        StringBuilder text = new();
        string verdict = check.IsUsable ? "can be used" : "cannot be used";
        text.Append($"{check.Source} {verdict}: {Count(check.Faults.Length, "fault")}, {Count(check.Warnings.Length, "warning")}.\n");
        List(text, "Faults", check.Faults);
        List(text, "Warnings", check.Warnings);
        if (check.Answers.IsEmpty)
        {
            return text.ToString();
        }

        text.Append("\nAnswers that this file has enough for\n");
        foreach (AnswerNeeds needs in check.Answers)
        {
            string answer = needs.ComponentId is null ? Word(needs.Answer) : $"{Word(needs.Answer)}, {needs.ComponentId}";
            text.Append($"  {(needs.IsCarried ? "yes" : "no "),-4} {answer}\n");
            if (!needs.IsCarried)
            {
                text.Append($"       needs {string.Join(", ", needs.Missing)}\n");
            }

            foreach (string better in needs.WouldImprove)
            {
                text.Append($"       better with {better}\n");
            }
        }

        return text.ToString();
    }

    /// <summary>An answer in words.</summary>
    public static string Word(CarAnswer answer) => answer switch
    {
        CarAnswer.Health => "health of the log",
        CarAnswer.Zero => "zero and drift of the load cells",
        CarAnswer.WheelLoads => "wheel loads",
        CarAnswer.ContactPatchLoads => "contact-patch loads",
        CarAnswer.AeroLoad => "aero load and balance",
        CarAnswer.AeroInMovingAir => "aero load with the wind taken out",
        CarAnswer.Platform => "platform: ride heights, rake, third elements",
        CarAnswer.KerbStrikes => "kerb strikes",
        CarAnswer.Fatigue => "fatigue life",
        CarAnswer.Shims => "shims",
        _ => throw new ArgumentOutOfRangeException(nameof(answer)),
    };

    private static void List(StringBuilder text, string head, IReadOnlyList<InputFault> faults)
    {
        if (faults.Count == 0)
        {
            return;
        }

        text.Append($"\n{head}\n");
        foreach (InputFault fault in faults)
        {
            text.Append($"  {fault}\n");
        }
    }

    private static string Count(int count, string word) => $"{count} {word}{(count == 1 ? "" : "s")}";
}
