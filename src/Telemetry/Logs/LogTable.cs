namespace Telemetry.Logs;

/// <summary>One number column of a table.</summary>
/// <param name="Column">Name and unit.</param>
/// <param name="Values">One value a row, <see cref="CsvPartParser.Blank"/> where the row has none; with <see cref="Rows"/> the values alone.</param>
/// <param name="Blanks">How many rows have none.</param>
internal sealed record TableColumn(LogColumn Column, SampleSource Values, int Blanks)
{
    /// <summary>The row of each value, rising, where blanks are not stored; null for a value a row.</summary>
    public int[]? Rows { get; init; }
}

/// <summary>A log as rows and columns, before each channel gets its own time base; the same for every format.</summary>
internal sealed record LogTable
{
    /// <summary>File name for messages.</summary>
    public required string FileName { get; init; }

    /// <summary>The time column.</summary>
    public required LogColumn TimeColumn { get; init; }

    /// <summary>Time of each row, s; finite, in any order.</summary>
    public required double[] TimesS { get; init; }

    /// <summary>What one step of the time's text or binary number stands for, s.</summary>
    public required double TimeQuantumS { get; init; }

    /// <summary>How many of the time column's own units make a second, where its numbers may have had single precision; null where they cannot.</summary>
    public double? TimeUnitsPerSecond { get; init; }

    /// <summary>True when the file says that its times have single precision.</summary>
    public bool TimeIsSingle { get; init; }

    /// <summary>All number columns besides time.</summary>
    public required IReadOnlyList<TableColumn> Columns { get; init; }

    /// <summary>The row number that a person sees, for a row of this table.</summary>
    public required Func<int, int> RowNumber { get; init; }

    /// <summary>Even grids that the file itself states, by column name; the times of their rows are the same to within rounding.</summary>
    public IReadOnlyDictionary<string, TimeBase> KnownGrids { get; init; } = new Dictionary<string, TimeBase>();

    /// <summary>Columns of which the file itself states that their times are those of their rows, whatever grid they come near.</summary>
    public IReadOnlySet<string> KnownUneven { get; init; } = new HashSet<string>();
}
