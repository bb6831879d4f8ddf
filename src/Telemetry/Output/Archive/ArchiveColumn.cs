using System.Text;
using Telemetry.Output.Tables;

namespace Telemetry.Output.Archive;

/// <summary>What a column holds.</summary>
internal enum ArchiveKind
{
    /// <summary>Text (STRING).</summary>
    Text,

    /// <summary>A number that counts or numbers things (INT64).</summary>
    Whole,

    /// <summary>Any other number (DOUBLE).</summary>
    Real,
}

/// <summary>How a table's column is named and typed in the archive: by the column alone and never by its values, so that every run's file has the same.</summary>
/// <param name="Name">Lower case with underscores and the unit at the end, as the keys of summary.json: "front load low95 [N]" becomes front_load_low95_n.</param>
/// <param name="Kind">What it holds.</param>
/// <param name="Unit">The unit as the CSV table writes it; empty for text.</param>
internal sealed record ArchiveColumn(string Name, ArchiveKind Kind, string Unit)
{
    /// <summary>Columns without a unit that number or count things.</summary>
    private static readonly HashSet<string> Counted = new(StringComparer.Ordinal)
    {
        "strike", "kerb", "lap", "laps", "strikes", "event", "rank", "samples", "places", "repaired samples", "paired with strike", "past a limit", "kerb strikes", "passes", "things to do before next run",
    };

    /// <summary>The columns of a table, names unique.</summary>
    public static ArchiveColumn[] Of(ResultTable table)
    {
        HashSet<string> taken = new(ResultArchive.KeyColumns, StringComparer.Ordinal);
        return [.. table.Columns.Select(column =>
        {
            string plain = NameOf(column), name = plain;
            for (int i = 2; !taken.Add(name); i++)
            {
                name = FormattableString.Invariant($"{plain}_{i}");
            }

            return new ArchiveColumn(name, KindOf(column), column.Unit);
        })];
    }

    private static ArchiveKind KindOf(TableColumn column) =>
        column is { Unit: "-", Decimals: 0 } && Counted.Contains(column.Name) ? ArchiveKind.Whole
        : column.IsNumber || column.Decimals > 0 ? ArchiveKind.Real
        : ArchiveKind.Text;

    private static string NameOf(TableColumn column)
    {
        string unit = column.Unit switch
        {
            "%" => "pct",
            "-" or "1" or "times" or "in its unit" => "",
            "N s" => "ns",
            "kN/s" => "kn_per_s",
            "mm/s" => "mm_per_s",
            string other => other,
        };
        StringBuilder name = new();
        foreach (char c in $"{column.Name} {unit}".Replace("%", "pct", StringComparison.Ordinal).ToLowerInvariant())
        {
            if (char.IsAsciiLetterOrDigit(c))
            {
                name.Append(c);
            }
            else if (name.Length > 0 && name[^1] != '_' && c is not ('/' or '\'' or '(' or ')'))
            {
                name.Append('_');
            }
        }

        return name.ToString().Trim('_');
    }
}
