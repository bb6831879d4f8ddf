using System.Globalization;
using Telemetry.Car;

namespace Telemetry.Ledger;

/// <summary>What an entry must be to go into a ledger.</summary>
public static class EntryRules
{
    /// <summary>Longest text, characters: a page and more; a longer one is a mistake.</summary>
    public const int LongestText = 4000;

    /// <summary>Refuses an entry that cannot be kept or makes no sense beside those before it.</summary>
    /// <param name="entry">The entry.</param>
    /// <param name="before">The entries of the ledger.</param>
    /// <exception cref="InputError">Says what is wrong; all of it together.</exception>
    public static void Require(LedgerEntry entry, IReadOnlyList<LedgerEntry> before)
    {
        ArgumentNullException.ThrowIfNull(entry);
        ArgumentNullException.ThrowIfNull(before);
        List<InputFault> faults = [];
        foreach ((string name, string? text) in Texts(entry))
        {
            if (FaultOf(text) is { } fault)
            {
                faults.Add(new($"the ledger's entry, {name}", fault, "Correct it; nothing was entered."));
            }
        }

        if (WrongKind(entry) is { } wrong)
        {
            faults.Add(new("the ledger's entry", wrong, "Nothing was entered."));
        }

        if (entry.Corrects is { } number && !before.Any(earlier => earlier.Number == number))
        {
            faults.Add(new("the ledger's entry", string.Create(CultureInfo.InvariantCulture, $"there is no entry {number} to correct."), "See 'pushrod life history PART' for the numbers."));
        }

        if (entry.Corrects is { } again && LedgerState.StruckOutBy(before).Contains(again))
        {
            faults.Add(new("the ledger's entry", string.Create(CultureInfo.InvariantCulture, $"entry {again} is struck out already."), "Nothing was entered."));
        }

        if (faults.Count > 0)
        {
            throw new InputError(faults);
        }
    }

    private static IEnumerable<(string Name, string? Text)> Texts(LedgerEntry entry)
    {
        yield return ("part", entry.Part);
        yield return ("by", entry.By);
        yield return ("car", entry.Car);
        yield return ("text", entry.Text);
        if (entry.Run is { } run)
        {
            yield return ("run", run.Run);
            yield return ("log hash", run.LogHash);
            yield return ("car", run.Car);
            yield return ("settings", run.Settings);
            foreach (PartFigures part in run.Parts)
            {
                yield return ("part", part.Part);
                yield return ("description", part.Description);
            }
        }
    }

    private static string? WrongKind(LedgerEntry entry) => entry.Kind switch
    {
        EntryKind.Run => entry.Run is null ? "a run needs its figures."
            : entry.Run.Parts.Select(part => part.Part).Distinct(StringComparer.Ordinal).Count() < entry.Run.Parts.Length ? "a part stands twice in the run." : null,
        EntryKind.Correct => entry.Corrects is null ? "a correction names the entry that it strikes out." : null,
        _ when entry.Part is null => "it names no part.",
        EntryKind.Charge => entry.Damage is { } damage && double.IsFinite(damage) && damage != 0 ? null : "a charge needs a damage that is a number and not 0.",
        EntryKind.Fit => entry.Car is null ? "a fit names the car." : entry.Corner is { } corner && Corners.FromCode(corner) is null ? $"'{corner}' is none of FL, FR, RL, RR." : null,
        _ => null,
    };

    private static string? FaultOf(string? text) =>
        text is null ? null
        : text.Length == 0 ? "it is empty."
        : text.Length > LongestText ? string.Create(CultureInfo.InvariantCulture, $"it has {text.Length} characters; {LongestText} are allowed.")
        : text.Contains('\0') ? "it holds a character of value 0, which no database keeps."
        : HasLoneSurrogate(text) ? "it holds half a character (a lone surrogate), which no database keeps."
        : null;

    private static bool HasLoneSurrogate(string text)
    {
        for (int i = 0; i < text.Length; i++)
        {
            if (char.IsHighSurrogate(text[i]) && i + 1 < text.Length && char.IsLowSurrogate(text[i + 1]))
            {
                i++;
            }
            else if (char.IsSurrogate(text[i]))
            {
                return true;
            }
        }

        return false;
    }
}
