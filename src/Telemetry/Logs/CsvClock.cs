using System.Globalization;

namespace Telemetry.Logs;

/// <summary>What a wall clock does to the times of a log: midnight, and summer time where stamps say no offset.</summary>
internal static class CsvClock
{
    private const double DayS = 86_400;
    private const double HourS = 3600;

    /// <summary>A pause across midnight longer than this is not bridged: a wrong stamp must not move the rest of the log by a day.</summary>
    private const double LongestPauseS = HourS;

    /// <summary>How near to an hour a jump is for the change to or from summer time to be likely: a step, and a short pause.</summary>
    private const double NearHourS = 60;

    /// <summary>Lets times of day go on past midnight, in place.</summary>
    /// <param name="times">Seconds from the first row.</param>
    /// <param name="data">What was parsed, for the place.</param>
    /// <returns>A finding where a day was added, or null.</returns>
    public static LogFinding? PassMidnight(double[] times, CsvData data)
    {
        double added = 0;
        int first = -1;
        int nights = 0;
        double last = times[0];
        for (int i = 1; i < times.Length; i++)
        {
            double now = times[i];
            double across = now + DayS - last;
            if (now < last && across <= LongestPauseS)
            {
                added += DayS;
                first = nights++ == 0 ? i : first;
            }

            last = now;
            times[i] = now + added;
        }

        return first < 0 ? null : new(
            LogFindingKind.Note,
            data.Place(data.LineOfRow(first)),
            string.Create(CultureInfo.InvariantCulture, $"The time of day passes midnight{(nights == 1 ? "" : $" {nights} times, first")} here; the rows below count as the next day."),
            nights,
            times[first]);
    }

    /// <summary>Judges jumps of an hour in dates that say no offset from UTC.</summary>
    /// <returns>A finding about an hour that is missing, or null.</returns>
    /// <exception cref="InputError">An hour comes twice: which row belongs to which cannot be told.</exception>
    public static LogFinding? CheckSummerTime(double[] times, CsvData data)
    {
        for (int i = 1; i < times.Length; i++)
        {
            double step = times[i] - times[i - 1];
            if (step <= NearHourS - HourS && step >= -HourS)
            {
                throw new InputError(
                    data.Place(data.LineOfRow(i)),
                    "Time goes back by an hour here, and the dates say no offset from UTC: this looks like the end of summer time.",
                    "Export the run with the offset in each date (2024-10-27T02:00:00+02:00), in UTC, or with seconds from its start.");
            }

            if (step >= HourS && step <= HourS + NearHourS)
            {
                return new(
                    LogFindingKind.Note,
                    data.Place(data.LineOfRow(i)),
                    "Time jumps ahead by an hour here, and the dates say no offset from UTC: this may be the beginning of summer time and no gap. The times are kept as they stand.",
                    1,
                    times[i - 1]);
            }
        }

        return null;
    }
}
