using System.Collections.Immutable;
using System.Globalization;
using System.Text;

namespace Telemetry.Logs;

/// <summary>Which columns of a CSV file are parsed, and how.</summary>
internal static class CsvColumns
{
    /// <summary>Columns to parse: time first, then all that are asked for.</summary>
    /// <exception cref="InputError">Two of them have one name.</exception>
    public static int[] Choose(CsvLayout layout, LogOptions options, string fileName)
    {
        Dictionary<string, int> seen = new(StringComparer.Ordinal);
        List<int> slots = [layout.TimeIndex];
        List<InputFault> faults = [];
        for (int i = 0; i < layout.Columns.Length; i++)
        {
            LogColumn column = layout.Columns[i];
            if (i == layout.TimeIndex || !IsAskedFor(column, options))
            {
                continue;
            }

            if (column.Name.Length > 0 && !seen.TryAdd(column.Name, i) && faults.Count < CsvPartParser.MostFaults)
            {
                faults.Add(new(
                    string.Create(CultureInfo.InvariantCulture, $"{fileName}, row {layout.HeaderLine}"),
                    string.Create(CultureInfo.InvariantCulture, $"Columns {seen[column.Name] + 1} and {i + 1} have the same name, '{column.Name}'."),
                    "Give each channel a name of its own, or read only other columns."));
            }

            slots.Add(i);
        }

        return faults.Count > 0 ? throw new InputError(faults) : [.. slots];
    }

    /// <summary>True when the options ask for a column, by its name or by all that its header says.</summary>
    public static bool IsAskedFor(LogColumn column, LogOptions options) =>
        options.OnlyColumns.IsDefaultOrEmpty || options.OnlyColumns.Contains(column.Name) || options.OnlyColumns.Contains(column.Written.Trim());

    /// <summary>How all parts are parsed.</summary>
    public static CsvPlan Plan(CsvLayout layout, LogOptions options, int[] slots, ReadOnlySpan<CsvPartCount> counts)
    {
        bool swap = layout.DecimalComma ?? (layout.Separator != ',' && HasCommasOnly(counts));
        ImmutableArray<string> tokens = options.MissingTokens.IsDefault ? [] : options.MissingTokens;
        return new()
        {
            Separator = !swap ? layout.Separator : layout.Separator == ',' ? '.' : layout.Separator == '.' ? ',' : layout.Separator,
            SpaceRuns = layout.Separator == ' ',
            SwapSigns = swap,
            Width = layout.Columns.Length,
            LastIsNameless = layout.Columns[^1].Name.Length == 0,
            Slots = slots,
            TimeStyle = layout.TimeStyle,
            FirstNanoseconds = layout.FirstNanoseconds,
            HasOffset = layout.HasOffset,
            HeaderRows = layout.UnitFields.Length > 0 ? [layout.HeaderFields, layout.UnitFields] : [layout.HeaderFields],
            MissingTokens = [.. tokens.Select(token => SwappedToken(token, swap))],
            Sparse = new bool[slots.Length],
        };
    }

    private static bool HasCommasOnly(ReadOnlySpan<CsvPartCount> counts)
    {
        bool commas = false;
        bool points = false;
        foreach (CsvPartCount count in counts)
        {
            commas |= count.Commas > 0;
            points |= count.Points > 0;
        }

        return commas && !points;
    }

    private static byte[] SwappedToken(string token, bool swap)
    {
        byte[] bytes = Encoding.UTF8.GetBytes(token.Trim());
        if (swap)
        {
            CsvBytes.SwapSigns(bytes);
        }

        return bytes;
    }
}
