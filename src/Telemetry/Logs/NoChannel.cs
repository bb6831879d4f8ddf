namespace Telemetry.Logs;

/// <summary>A log in which no channel is left to read.</summary>
internal static class NoChannel
{
    /// <summary>What is wrong: the log has columns but none that is asked for, or nothing in it is a number.</summary>
    /// <param name="place">File, and where there is one the row of the header.</param>
    /// <param name="columns">Names of the log's columns without the time.</param>
    /// <param name="isAnyAsked">True when one of them was asked for, as all are where nothing is named.</param>
    public static InputError In(string place, IReadOnlyCollection<string> columns, bool isAnyAsked) => isAnyAsked || columns.Count == 0
        ? new(place, "No column besides time holds numbers.", "Export the run with its channels.")
        : new(
            place,
            $"No column is one that is asked for; besides time there are {CsvLayoutFinder.Short(string.Join(", ", columns.Select(name => $"'{name}'")))}.",
            "Correct the names under [channels] in the car file, or export the run with its channels.");
}
