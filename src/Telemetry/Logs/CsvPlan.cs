namespace Telemetry.Logs;

/// <summary>How all parts of a file are parsed.</summary>
internal sealed record CsvPlan
{
    /// <summary>The separator as it stands in the bytes that reach the reader.</summary>
    public required char Separator { get; init; }

    /// <summary>True when runs of blanks separate.</summary>
    public required bool SpaceRuns { get; init; }

    /// <summary>True when comma and point are swapped before parsing, because the decimals stand behind a comma.</summary>
    public required bool SwapSigns { get; init; }

    /// <summary>Number of columns of the header.</summary>
    public required int Width { get; init; }

    /// <summary>True when the header ends with a separator, so that rows may or may not.</summary>
    public required bool LastIsNameless { get; init; }

    /// <summary>Which column of the file fills which target; the first is time.</summary>
    public required int[] Slots { get; init; }

    /// <summary>How time is written.</summary>
    public required TimeStyle TimeStyle { get; init; }

    /// <summary>What is taken off dated times, ns.</summary>
    public required long FirstNanoseconds { get; init; }

    /// <summary>True when every date must say its offset from UTC, false when none may: a mixture would shift rows by hours.</summary>
    public required bool HasOffset { get; init; }

    /// <summary>The header's fields, and those of the row of units: a logger that starts again may write both again.</summary>
    public required string[][] HeaderRows { get; init; }

    /// <summary>Texts that stand for no value.</summary>
    public required byte[][] MissingTokens { get; init; }

    /// <summary>True for each target that holds a value in few rows only (<see cref="CsvSparse"/>): what is blank is then not stored.</summary>
    public required bool[] Sparse { get; init; }
}

/// <summary>Something wrong at one record of a part.</summary>
/// <param name="Record">Record of the part, from 0.</param>
/// <param name="Slot">Which target column, or -1 for the row as a whole.</param>
/// <param name="Text">The field's text, or for a row as a whole null.</param>
/// <param name="FieldCount">Number of fields of the row.</param>
internal readonly record struct CsvRowFault(int Record, int Slot, string? Text, int FieldCount);
