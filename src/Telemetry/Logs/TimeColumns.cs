namespace Telemetry.Logs;

/// <summary>Which column is time.</summary>
internal static class TimeColumns
{
    private static readonly (string Ending, string Unit)[] UnitEndings = [("_ms", "ms"), ("_us", "us"), ("_ns", "ns"), ("_s", "s")];

    /// <summary>Index of the time column, or -1.</summary>
    /// <param name="written">Header fields as they stand in the file.</param>
    /// <param name="wanted">The name that the options give, with or without its unit; null to look for the usual names.</param>
    public static int Find(IReadOnlyList<string> written, string? wanted)
    {
        for (int i = 0; i < written.Count; i++)
        {
            LogColumn column = LogColumn.Parse(written[i]);
            bool found = wanted is null
                ? IsUsual(WithoutEnding(column.Name))
                : string.Equals(column.Name, wanted, StringComparison.Ordinal) || string.Equals(column.Written.Trim(), wanted, StringComparison.Ordinal);
            if (found)
            {
                return i;
            }
        }

        return -1;
    }

    /// <summary>The column with its unit taken from an ending such as _ms where it has no other.</summary>
    public static LogColumn WithUnit(LogColumn column)
    {
        if (column.Unit.Length > 0)
        {
            return column;
        }

        foreach ((string ending, string unit) in UnitEndings)
        {
            if (column.Name.Length > ending.Length && column.Name.EndsWith(ending, StringComparison.OrdinalIgnoreCase))
            {
                return column with { Unit = unit };
            }
        }

        return column;
    }

    private static string WithoutEnding(string name)
    {
        foreach ((string ending, _) in UnitEndings)
        {
            if (name.Length > ending.Length && name.EndsWith(ending, StringComparison.OrdinalIgnoreCase))
            {
                return name[..^ending.Length];
            }
        }

        return name;
    }

    private static bool IsUsual(string name) => name.Trim().ToUpperInvariant() is "TIME" or "T" or "TIMESTAMP" or "ELAPSED";
}
