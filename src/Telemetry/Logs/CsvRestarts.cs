using System.Globalization;

namespace Telemetry.Logs;

/// <summary>Judges headers that stand again among the rows: a logger that was started again, or files that were joined.</summary>
internal static class CsvRestarts
{
    /// <summary>Checks that time goes on across every such header.</summary>
    /// <param name="data">What was parsed.</param>
    /// <param name="times">Time of each joined row, s.</param>
    /// <returns>One finding for all, or null when there is none.</returns>
    /// <exception cref="InputError">Time goes back: the file holds two recordings.</exception>
    public static LogFinding? Check(CsvData data, double[] times)
    {
        int count = 0;
        int firstLine = 0;
        double firstS = double.NaN;
        double longest = 0;
        int rows = 0;
        int lastRow = -1;
        for (int part = 0; part < data.Parsed.Length; part++)
        {
            foreach ((int record, int rowsAbove) in data.Parsed[part].HeadersAgain)
            {
                // The row of units below a header is the same restart.
                int row = rows + rowsAbove;
                if (row == lastRow)
                {
                    continue;
                }

                lastRow = row;
                int line = data.LineOf(part, record);
                bool isBetween = row > 0 && row < times.Length;
                if (isBetween && times[row] < times[row - 1])
                {
                    throw GoesBack(data, line, times[row - 1], times[row]);
                }

                (firstLine, firstS) = count++ == 0 ? (line, isBetween ? times[row] : double.NaN) : (firstLine, firstS);
                longest = isBetween ? Math.Max(longest, times[row] - times[row - 1]) : longest;
            }

            rows += data.Parsed[part].Rows;
        }

        return count == 0 ? null : new(
            LogFindingKind.RepeatedHeader,
            data.Place(firstLine),
            string.Create(CultureInfo.InvariantCulture, $"The header stands again {(count == 1 ? "here" : $"{count} times, first here")}: the logger was started again, or files were joined. Time goes on (longest step {TimeGrid.Seconds(longest)}), so the rows are read as one log."),
            count,
            firstS);
    }

    private static InputError GoesBack(CsvData data, int line, double before, double after) => new(
        data.Place(line),
        $"The header stands again here, and time goes back from {TimeGrid.Seconds(before)} to {TimeGrid.Seconds(after)}: the file holds two recordings.",
        string.Create(CultureInfo.InvariantCulture, $"Cut the file above row {line} and read each part on its own."));
}
