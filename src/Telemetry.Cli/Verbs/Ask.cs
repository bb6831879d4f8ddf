using System.CommandLine;
using System.CommandLine.Parsing;
using System.Globalization;

namespace Telemetry.Cli.Verbs;

/// <summary>Options that several verbs have, and quantities with units.</summary>
internal static class Ask
{
    private static readonly string[] DateForms = ["yyyy-MM-dd'T'HH:mmK", "yyyy-MM-dd'T'HH:mm:ssK", "yyyy-MM-dd HH:mmK", "yyyy-MM-dd HH:mm:ssK"];

    /// <summary>The car file.</summary>
    public static Option<string> Car(bool required = true) => new("--car")
    {
        Description = "The car file (TOML) that says what the channels mean.",
        HelpName = "CAR",
        Required = required,
    };

    /// <summary>The zero file.</summary>
    public static Option<string?> Zeros(string description) => new("--zeros") { Description = description, HelpName = "FILE" };

    /// <summary>The archive of all results.</summary>
    public static Option<string?> Archive() => new("--archive") { Description = "Folder of an archive that all tables are added to as Parquet. Default with several logs: 'archive' in the folder of results.", HelpName = "DIR" };

    /// <summary>A day or a day with time; a day alone is its noon, without an offset the time is UTC.</summary>
    public static Option<DateTimeOffset?> Date(string description) => new("--date")
    {
        Description = description,
        HelpName = "DATE",
        CustomParser = result =>
        {
            string text = result.Tokens.Count == 1 ? result.Tokens[0].Value : "";
            if (DateOnly.TryParseExact(text, "yyyy-MM-dd", CultureInfo.InvariantCulture, DateTimeStyles.None, out DateOnly day))
            {
                return new DateTimeOffset(day.ToDateTime(new TimeOnly(12, 0)), TimeSpan.Zero);
            }

            if (DateTimeOffset.TryParseExact(text, DateForms, CultureInfo.InvariantCulture, DateTimeStyles.AssumeUniversal, out DateTimeOffset at))
            {
                return at.ToUniversalTime();
            }

            Refuse(result, $"Option '--date': '{text}' is no day. Write 2026-03-31 or 2026-03-31T14:05+02:00.");
            return null;
        },
    };

    /// <summary>No progress on the error stream.</summary>
    public static Option<bool> Quiet() => new("--quiet") { Description = "Say nothing about progress." };

    /// <summary>A quantity with a unit, in SI.</summary>
    /// <param name="name">Name of the option.</param>
    /// <param name="helpName">What stands for the quantity in help.</param>
    /// <param name="description">What it is.</param>
    /// <param name="read">Reader of the quantity's dimension.</param>
    public static Option<double?> ForQuantity(string name, string helpName, string description, ReadQuantity read) => new(name)
    {
        Description = description,
        HelpName = helpName,
        CustomParser = result =>
        {
            string text = result.Tokens.Count == 1 ? result.Tokens[0].Value : "";
            if (read(text, out double value) is string problem)
            {
                Refuse(result, $"Option '{name}': {problem}");
                return null;
            }

            return value;
        },
    };

    private static void Refuse(SymbolResult result, string message) => result.AddError(message);
}

/// <summary>Reads a quantity; null when it is good, else what is wrong with it.</summary>
internal delegate string? ReadQuantity(string text, out double value);
