using System.CommandLine;
using System.CommandLine.Parsing;

namespace Telemetry.Cli;

/// <summary>What is wrong with a command line, in words for a person.</summary>
internal static class UsageWords
{
    private const string TypeText = " as expected type";

    /// <summary>The error's sentence, without names of the program's types.</summary>
    public static string Of(ParseError error)
    {
        string text = error.Message.ReplaceLineEndings(" ").Replace("\t", "", StringComparison.Ordinal);
        string[] quoted = text.Split('\'');
        if (text.Contains(TypeText, StringComparison.Ordinal) && quoted.Length >= 4)
        {
            // "Cannot parse argument 'x' for option '--seed' as expected type 'System...'."
            string kind = text.Contains("Double", StringComparison.Ordinal) ? "a number" : text.Contains("Int", StringComparison.Ordinal) ? "a whole number" : "what is asked for";
            return $"Option '{quoted[3]}': '{quoted[1]}' is not {kind}.";
        }

        return (error.SymbolResult, text) switch
        {
            (ArgumentResult argument, _) when text.StartsWith("Required argument", StringComparison.Ordinal) => $"{argument.Argument.Name} is missing: {Lower(argument.Argument.Description)}",
            (OptionResult option, _) when text.StartsWith("Required argument", StringComparison.Ordinal) => $"Option '{option.Option.Name}' needs a value behind it: {Lower(option.Option.Description)}",
            (OptionResult option, _) when text.EndsWith("is required.", StringComparison.Ordinal) => $"Option '{option.Option.Name}' is missing: {Lower(option.Option.Description)}",
            (CommandResult command, _) when text.StartsWith("Required command", StringComparison.Ordinal) => $"No verb was given. Verbs: {string.Join(", ", command.Command.Subcommands.Select(verb => verb.Name))}.",
            _ when text.StartsWith("Unrecognized", StringComparison.Ordinal) && quoted.Length >= 2 => $"'{quoted[1]}' is a word too many here; put quotes around a name or value with blanks.",
            _ when text.StartsWith("Argument '", StringComparison.Ordinal) && quoted.Length >= 4 => $"'{quoted[1]}' is none of: {string.Join(", ", quoted.Skip(3).Where((_, i) => i % 2 == 0))}.",
            _ => text.EndsWith('.') || text.EndsWith('?') ? text : text + ".",
        };
    }

    private static string Lower(string? text) => string.IsNullOrEmpty(text) ? "see the help." : char.ToLowerInvariant(text[0]) + text[1..];

    /// <summary>The sentence about a word that is neither verb nor option, with what may have been meant; null when there is none.</summary>
    public static string? UnknownWord(ParseResult parsed)
    {
        // An option that is misspelt may have been taken for the name of a file.
        string? word = parsed.Tokens.TakeWhile(token => token.Type != TokenType.DoubleDash).FirstOrDefault(token => token.Type == TokenType.Argument && token.Value.StartsWith("--", StringComparison.Ordinal))?.Value
            ?? (parsed.UnmatchedTokens.Count > 0 ? parsed.UnmatchedTokens[0] : null);
        if (word is null)
        {
            return null;
        }

        Command command = parsed.CommandResult.Command;
        bool isOption = word.StartsWith('-');
        if (!isOption && command.Subcommands.Count == 0)
        {
            return null;
        }

        string[] known = isOption
            ? [.. command.Options.Where(option => !option.Hidden).Select(option => option.Name), .. command.Parents.OfType<Command>().SelectMany(parent => parent.Options).Where(option => option.Recursive).Select(option => option.Name)]
            : [.. command.Subcommands.Where(verb => !verb.Hidden).Select(verb => verb.Name)];
        string meant = Nearest(word, known) is { } near ? $" Did you mean '{near}'?" : "";
        return isOption
            ? $"'{word}' is no option here.{meant}{(meant.Length == 0 ? $" Options: {string.Join(", ", known.Distinct())}." : "")}"
            : $"'{word}' is neither a verb nor an option.{meant} Verbs: {string.Join(", ", known)}.";
    }

    /// <summary>The known word that is fewest edits away, when they are at most a third of its letters; null when none is near.</summary>
    public static string? Nearest(string word, IEnumerable<string> known) => known
        .Select(candidate => (candidate, Edits: Edits(word, candidate)))
        .Where(one => one.Edits * 3 <= one.candidate.Length)
        .OrderBy(one => one.Edits)
        .ThenBy(one => one.candidate, StringComparer.Ordinal)
        .Select(one => one.candidate)
        .FirstOrDefault();

    /// <summary>Letters to put in, take out or change (Levenshtein 1965).</summary>
    private static int Edits(string a, string b)
    {
        int[] row = [.. Enumerable.Range(0, b.Length + 1)];
        for (int i = 1; i <= a.Length; i++)
        {
            int corner = row[0];
            row[0] = i;
            for (int j = 1; j <= b.Length; j++)
            {
                int above = row[j];
                row[j] = Math.Min(Math.Min(row[j], row[j - 1]) + 1, corner + (a[i - 1] == b[j - 1] ? 0 : 1));
                corner = above;
            }
        }

        return row[b.Length];
    }
}
