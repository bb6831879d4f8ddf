using System.Collections.Immutable;

namespace Telemetry.Logs;

/// <summary>One column as its header names it.</summary>
/// <param name="Name">The name without the unit.</param>
/// <param name="Unit">The unit as written; empty when there is none.</param>
/// <param name="Written">The header field as it stands in the file.</param>
internal sealed record LogColumn(string Name, string Unit, string Written)
{
    /// <summary>Splits 'load FL [N]' into name and unit; a unit in square or round brackets, at the end.</summary>
    /// <remarks>Round brackets that hold several words or a corner of the car ('pushrod (FL)') belong to the name.</remarks>
    public static LogColumn Parse(string written, string unitBelow = "")
    {
        string text = written.Trim();
        string below = unitBelow.Trim().Trim('[', ']', '(', ')').Trim();
        if (text.Length > 2 && text[^1] is ']' or ')')
        {
            char open = text[^1] == ']' ? '[' : '(';
            int start = text.LastIndexOf(open);
            string inside = start > 0 ? text[(start + 1)..^1].Trim() : "";
            if (start > 0 && !string.IsNullOrWhiteSpace(text[..start]) && (open == '[' || IsUnit(inside)))
            {
                return new(text[..start].Trim(), below.Length > 0 ? below : inside, written);
            }
        }

        return new(text, below, written);
    }

    private static bool IsUnit(string inside) =>
        inside.Length > 0 && !inside.Contains(' ', StringComparison.Ordinal)
        && inside.ToUpperInvariant() is not ("FL" or "FR" or "RL" or "RR" or "LF" or "RF" or "LR" or "FRONT" or "REAR" or "LEFT" or "RIGHT");
}

/// <summary>Where the table of a CSV file stands and how it is written.</summary>
internal sealed record CsvLayout
{
    /// <summary>The field separator; a space stands for any run of spaces and tabs.</summary>
    public required char Separator { get; init; }

    /// <summary>True when numbers have a comma before their decimals; null when the first rows do not tell.</summary>
    public required bool? DecimalComma { get; init; }

    /// <summary>The columns in the order of the file.</summary>
    public required ImmutableArray<LogColumn> Columns { get; init; }

    /// <summary>Which column is time.</summary>
    public required int TimeIndex { get; init; }

    /// <summary>How time is written.</summary>
    public required TimeStyle TimeStyle { get; init; }

    /// <summary>How many of the time column's units make a second; 1 for dates.</summary>
    public required double TimeUnitsPerSecond { get; init; }

    /// <summary>What the last digit of the time text stands for, s.</summary>
    public required double TimeQuantumS { get; init; }

    /// <summary>First time of a dated log, ns since 1970 (or midnight); 0 for numbers.</summary>
    public required long FirstNanoseconds { get; init; }

    /// <summary>Line of the header, from 1.</summary>
    public required int HeaderLine { get; init; }

    /// <summary>Line of the first row of data, from 1.</summary>
    public required int DataLine { get; init; }

    /// <summary>The header's fields as they stand in the file, trimmed.</summary>
    public required string[] HeaderFields { get; init; }

    /// <summary>The fields of the row of units below it; empty when there is none.</summary>
    public string[] UnitFields { get; init; } = [];

    /// <summary>True when the first date says its offset from UTC.</summary>
    public bool HasOffset { get; init; }

    /// <summary>Remarks for the reader of the report, each with its line.</summary>
    public ImmutableArray<(int Line, string Text)> Notes { get; init; } = [];
}
