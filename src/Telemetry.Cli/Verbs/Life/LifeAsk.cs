using System.CommandLine;
using System.Globalization;
using Telemetry.Ledger;
using Telemetry.Ledgers;
using Telemetry.Output;

namespace Telemetry.Cli.Verbs.Life;

/// <summary>What the verbs of the ledger share: its address, parts, and how numbers are written.</summary>
internal sealed class LifeAsk(Screen screen)
{
    /// <summary>The ledger; may stand before or behind the verb.</summary>
    public Option<string> Ledger { get; } = new("--ledger")
    {
        Description = "The life ledger that 'analyse --ledger' keeps: a file, or a PostgreSQL database (\"Host=...;Database=...\" or postgresql://...).",
        HelpName = "LEDGER",
        Required = true,
        Recursive = true,
    };

    public Screen Screen => screen;

    /// <summary>The serial number.</summary>
    public static Argument<string> Part() => new("PART") { Description = "Serial number of the part." };

    /// <summary>Opens the ledger of a command line.</summary>
    public LedgerDatabase Open(ParseResult parsed, bool mayMake = false) =>
        LedgerDatabase.Open(LedgerAddress.Read(parsed.GetRequiredValue(Ledger)), DateTimeOffset.UtcNow, mayMake);

    /// <summary>Does what writes, and says it in words when it cannot.</summary>
    public static T Writing<T>(string where, Func<T> write)
    {
        try
        {
            return write();
        }
        catch (Exception error) when (error is IOException or UnauthorizedAccessException)
        {
            throw new OutputError(where, $"It could not be written ({FileSystemWords.Of(error)}).", "Nothing was changed. Choose a place that you may write to, with space left, and say it again.", error);
        }
    }

    /// <summary>Prints lines of a sheet; what comes from a file cannot steer the terminal.</summary>
    public int Print(IEnumerable<SheetLine> lines, int code = ExitCode.Done)
    {
        SheetPrinter.Print(lines.Select(line => line with { Text = line.Text.ReplaceLineEndings(" ") }), screen);
        return code;
    }

    /// <summary>The part, or an error that names those that sound alike.</summary>
    public static PartLife Require(LedgerContent content, string part, string where) =>
        content.State.Of(part) ?? throw new InputError(
            where,
            $"knows no part '{part}'.",
            content.State.Parts.IsEmpty ? "It has no parts yet." : $"Its parts: {string.Join(", ", content.State.Parts.Take(12).Select(known => known.Part))}{(content.State.Parts.Length > 12 ? ", ..." : "")}.");

    public static string Damage(double? damage) => damage is { } known ? known.ToString("0.000e+0", CultureInfo.InvariantCulture) : "-";

    public static string Percent(double pct) => pct is > 0 and < 0.1 ? "<0.1" : pct.ToString("F1", CultureInfo.InvariantCulture);

    public static string Kilonewtons(double? newtons) => newtons is double known ? (known / 1000).ToString("F2", CultureInfo.InvariantCulture) : "-";

    public static string Day(DateTimeOffset? at) => at is { } known ? known.ToString("yyyy-MM-dd HH:mm", CultureInfo.InvariantCulture) : "no date";

    public static string Number(long number) => number.ToString(CultureInfo.InvariantCulture);
}
