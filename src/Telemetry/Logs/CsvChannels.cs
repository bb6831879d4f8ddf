using System.Collections.Immutable;
using System.Globalization;

namespace Telemetry.Logs;

/// <summary>Makes a log of the parsed columns of a CSV file.</summary>
internal static class CsvChannels
{
    /// <summary>The log.</summary>
    /// <param name="data">What was parsed; it has no faults.</param>
    /// <param name="columns">The joined columns, time first; taken over.</param>
    /// <param name="cutOff">The finding about a last row that was cut off, or null.</param>
    /// <param name="path">The path as it was given.</param>
    /// <exception cref="InputError">There is no channel, or time runs backward in a large part of the rows.</exception>
    public static RunLog Make(CsvData data, ParsedColumn[] columns, LogFinding? cutOff, string path)
    {
        CsvLayout layout = data.Layout;
        double[] times = GC.AllocateUninitializedArray<double>(columns[0].Values.Length);
        columns[0].Values.InPieces(times.Length, (start, block) => block.CopyTo(times.AsSpan(start)));
        ToSeconds(times, layout.TimeUnitsPerSecond);
        LogFinding? clock = layout.TimeStyle switch
        {
            TimeStyle.TimeOfDay => CsvClock.PassMidnight(times, data),
            TimeStyle.DateTime when !layout.HasOffset => CsvClock.CheckSummerTime(times, data),
            _ => null,
        };
        LogFinding? restart = CsvRestarts.Check(data, times);
        List<LogFinding> later = [];
        List<TableColumn> kept = Keep(data, columns, times, later);
        (ImmutableArray<LoggedChannel> channels, List<LogFinding> timeFindings) = new ChannelAssembler(new()
        {
            FileName = data.FileName,
            TimeColumn = layout.Columns[layout.TimeIndex],
            TimesS = times,
            TimeQuantumS = layout.TimeQuantumS,
            TimeUnitsPerSecond = layout.TimeStyle == TimeStyle.Number ? layout.TimeUnitsPerSecond : null,
            Columns = kept,
            RowNumber = data.LineOfRow,
        }).Assemble();
        ImmutableArray<LogFinding> findings =
        [
            .. layout.Notes.Select(note => new LogFinding(LogFindingKind.Note, data.Place(note.Line), note.Text, 1, double.NaN)),
            .. Some(restart),
            .. Some(clock),
            .. timeFindings,
            .. later,
            .. Some(cutOff),
        ];
        DateTimeOffset? started = layout.TimeStyle == TimeStyle.DateTime
            ? DateTimeOffset.UnixEpoch.AddTicks((layout.FirstNanoseconds / 100) + (long)Math.Round(times[0] * TimeSpan.TicksPerSecond))
            : null;
        return new(LogReader.RunName(path), path, channels, findings, started);
    }

    private static LogFinding[] Some(LogFinding? finding) => finding is null ? [] : [finding];

    /// <summary>Times in the unit of the file to seconds, in place.</summary>
    internal static void ToSeconds(double[] times, double unitsPerSecond)
    {
        if (unitsPerSecond == 1)
        {
            return;
        }

        foreach (ref double time in times.AsSpan())
        {
            // A division rounds once: 123 ms is then exactly the double nearest to 0.123 s.
            time /= unitsPerSecond;
        }
    }

    /// <summary>The columns that hold numbers; what is left out is told.</summary>
    private static List<TableColumn> Keep(CsvData data, ParsedColumn[] columns, double[] times, List<LogFinding> findings)
    {
        int rows = times.Length;
        int[] slots = data.Plan.Slots;
        List<TableColumn> kept = [];
        for (int slot = 1; slot < slots.Length; slot++)
        {
            LogColumn column = data.Layout.Columns[slots[slot]];
            int blanks = data.Sum(part => part.Blanks[slot]);
            if (blanks == rows || data.IsTextThroughout(slot))
            {
                if (column.Name.Length > 0)
                {
                    findings.Add(Note(data, column, blanks == rows ? "The column is empty and is left out." : "The column holds text, no numbers, and is left out."));
                }

                continue;
            }

            if (column.Name.Length == 0)
            {
                column = column with { Name = string.Create(CultureInfo.InvariantCulture, $"column {slots[slot] + 1}") };
                findings.Add(Note(data, column, "The column has numbers but no name; it is named by its place."));
            }

            kept.Add(new(column, columns[slot].Values, blanks) { Rows = columns[slot].Rows });
            AddNotFinite(data, findings, slot, column, times);
        }

        return kept.Count > 0 ? kept : throw NoChannel.In(
            data.Place(data.Layout.HeaderLine), [.. data.Layout.Columns.Where((column, i) => i != slots[0] && column.Name.Length > 0).Select(column => column.Name)], slots.Length > 1);
    }

    private static LogFinding Note(CsvData data, LogColumn column, string text) =>
        new(LogFindingKind.Note, $"{data.FileName}, column '{column.Name}'", text, 1, double.NaN);

    private static void AddNotFinite(CsvData data, List<LogFinding> findings, int slot, LogColumn column, double[] times)
    {
        int count = data.Sum(part => part.NotFinite[slot]);
        if (count == 0)
        {
            return;
        }

        int part = Array.FindIndex(data.Parsed, p => p.NotFinite[slot] > 0);
        int row = data.Parsed.Take(part).Sum(p => p.Rows) + data.Parsed[part].FirstNotFinite[slot];
        findings.Add(new(
            LogFindingKind.NotFinite,
            $"{data.Place(data.LineOfRow(row))}, column '{column.Name}'",
            string.Create(CultureInfo.InvariantCulture, $"{count} {(count == 1 ? "value is an infinity or" : "values are infinities or")} 'not a number'; they are gaps in the channel."),
            count,
            times[row]));
    }
}
