using System.Collections.Immutable;
using System.Globalization;

namespace Telemetry.Output.Days;

/// <summary>The order of a day's runs and the names of their folders.</summary>
public static class DayOrder
{
    /// <summary>Names that a day's own files have, and those that a system keeps for devices (Microsoft, Naming Files, Paths, and Namespaces; from memory).</summary>
    private static readonly HashSet<string> Kept = new(StringComparer.OrdinalIgnoreCase)
    {
        "index.html", DayFile.Name, "archive", "cars", "con", "prn", "aux", "nul",
        "com1", "com2", "com3", "com4", "com5", "com6", "com7", "com8", "com9", "lpt1", "lpt2", "lpt3", "lpt4", "lpt5", "lpt6", "lpt7", "lpt8", "lpt9",
    };

    /// <summary>The runs in order of their start; those that start together in the order of their logs' names, then of their content.</summary>
    public static ImmutableArray<DayRun> Of(IEnumerable<DayRun> runs) =>
        [.. runs.OrderBy(run => run.PlacedAtUtc, StringComparer.Ordinal).ThenBy(run => run.Log, StringComparer.Ordinal).ThenBy(run => run.LogSha256, StringComparer.Ordinal)];

    /// <summary>An instant as day.json writes it, so that texts sort as instants do.</summary>
    public static string Text(DateTimeOffset at) => at.UtcDateTime.ToString("yyyy-MM-dd'T'HH:mm:ss.fff'Z'", CultureInfo.InvariantCulture);

    /// <summary>A folder for a log's run: the run's name where it can be one and nobody has it, on systems that tell case apart and those that do not.</summary>
    /// <param name="runName">Name of the run.</param>
    /// <param name="taken">Names of folders of other runs.</param>
    public static string Folder(string runName, IReadOnlyCollection<string> taken)
    {
        string plain = RunFileName.Plain(runName);
        if (Kept.Contains(plain) || Kept.Contains(plain.Split('.')[0]))
        {
            plain = "run-" + plain;
        }

        string name = plain;
        for (int i = 2; taken.Contains(name, StringComparer.OrdinalIgnoreCase); i++)
        {
            name = string.Create(CultureInfo.InvariantCulture, $"{plain}-{i}");
        }

        return name;
    }
}
