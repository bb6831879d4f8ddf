using CsvRecord = Telemetry.Logs.CsvRecords.CsvRecord;

namespace Telemetry.Logs;

/// <summary>Finds the row of units below a header.</summary>
internal static class CsvUnitsRow
{
    /// <summary>The row between header and data that holds the units: the only one, or of several the one with the most known units.</summary>
    public static CsvRecord? Find(List<CsvRecord> records, int header, int data, List<(int, string)> notes)
    {
        CsvRecord? best = null;
        int bestScore = -1;
        for (int i = header + 1; i < data; i++)
        {
            int score = records[i].Fields.Count(field => KnownUnits.Contains(field.Trim('[', ']', '(', ')', ' ')));
            if (!CsvLayoutFinder.IsComment(records[i]) && score > bestScore)
            {
                (best, bestScore) = (records[i], score);
            }
        }

        for (int i = header + 1; i < data; i++)
        {
            if (records[i] != best && !CsvLayoutFinder.IsComment(records[i]))
            {
                notes.Add((records[i].Line, "This row between the header and the data holds neither units nor numbers; it was not used."));
            }
        }

        return best;
    }

    private static readonly HashSet<string> KnownUnits = new(StringComparer.OrdinalIgnoreCase)
    {
        "s", "ms", "N", "kN", "m", "mm", "m/s", "km/h", "m/s2", "m/s^2", "g", "deg", "rad", "rad/s", "deg/s", "C", "\u00b0C", "degC", "K",
        "bar", "Pa", "kPa", "mbar", "hPa", "V", "mV", "A", "%", "-", "rpm", "1/min", "Nm", "kg", "l", "\u00b0", "\u00b5m/m",
    };
}
