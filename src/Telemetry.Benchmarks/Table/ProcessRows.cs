using System.Globalization;

namespace Telemetry.Benchmarks.Table;

/// <summary>Rows of whole processes and of the cycle count, from what whole-job.sh, rainflow-speed.sh and table.sh measured into the work folder.</summary>
internal static class ProcessRows
{
    private const string Script = "the script that a user would write instead (pandas, SciPy, matplotlib): ";
    private const string NoScript = "the script needs Debian's python3-pandas, python3-scipy, python3-matplotlib";

    /// <summary>The whole job and its parts.</summary>
    /// <param name="work">The work folder.</param>
    /// <param name="roofline">The memory's bandwidth.</param>
    public static IEnumerable<TableRow> WholeJob(string work, Roofline roofline)
    {
        string log = Path.Combine(work, "log.csv");
        string input = string.Create(CultureInfo.InvariantCulture, $"15 min at 1 kHz, 20 channels, {MeasuredFiles.BytesOf(log) / 1e6:0} MB CSV");
        ProcessRuns? script = MeasuredFiles.Runs(Path.Combine(work, "times-script"));
        foreach ((string task, string times, string output, bool hasPeer) in ((string, string, string, bool)[])
            [
                ("whole job, plots and report included, native", "ours", "ours", true),
                ("the same on the .NET runtime, ReadyToRun", "runtime", "ours-with-runtime", true),
                ("the same without plots, native", "no-plots", "ours-without-plots", false),
                ("import of CSV to Parquet, native, whole process", "import", "imported.parquet", false),
            ])
        {
            if (Row(work, roofline, task, input, times, log, output) is not { } row)
            {
                continue;
            }

            yield return !hasPeer ? row.Row : row.Row with
            {
                Peer = script is null ? NoScript : Script + script.InWords,
                Ratio = script is null ? "" : Shown.Ratio(script.Wall, row.Runs.Wall),
                Reached = "the script gives no intervals, wind, health, SVG, report or tables; its lift areas stand in whole-job.sh's output",
            };
        }

        if (MeasuredFiles.ScriptStage(work, "read") is { } pandas && MeasuredFiles.Runs(Path.Combine(work, "times-import")) is { } import)
        {
            yield return new("import of CSV, pandas beside it", input, import.InWords + " (whole process, Parquet written)") { Peer = "read_csv in the script: " + Shown.Time(pandas), Ratio = Shown.Ratio(pandas, import.Wall), Reached = "pandas only reads" };
        }

        if (MeasuredFiles.Runs(Path.Combine(work, "times-help")) is { } help)
        {
            yield return new("`--help`, native", "20 starts one after the other", help.InWords);
        }

        string hour = Path.Combine(work, "hour", "log.csv");
        string ofHour = string.Create(CultureInfo.InvariantCulture, $"an hour: 12 channels at 1 kHz, 8 at 100 Hz, {MeasuredFiles.BytesOf(hour) / 1e6:0} MB CSV");
        foreach ((string task, string times, string output) in ((string, string, string)[])
            [
                ("whole job, an hour, native", "hour", "hour-results"),
                ("the same without plots, native", "hour-no-plots", "hour-results-without-plots"),
                ("import to Parquet, an hour, native", "hour-import", "hour.parquet"),
            ])
        {
            if (Row(work, roofline, task, ofHour, times, hour, output) is { } row)
            {
                yield return row.Row;
            }
        }
    }

    /// <summary>How the whole job grows.</summary>
    public static IEnumerable<TableRow> Growth(string work)
    {
        string folder = Path.Combine(work, "growth");
        if (MeasuredFiles.Sized(folder, "rows") is { Count: > 3 } rows)
        {
            yield return GrowthFit.Row("whole job, native: growth with rows", "rows of 20 channels", rows);
        }

        if (MeasuredFiles.Sized(folder, "channels") is { Count: > 3 } channels)
        {
            yield return GrowthFit.Row("whole job, native: growth with channels", "channels of 15 min (the first bring new answers, those beyond 20 none)", channels);
        }
    }

    /// <summary>The cycle count, from the lines of rainflow-speed.sh.</summary>
    public static IEnumerable<TableRow> Cycles(string work, Roofline roofline)
    {
        // "what it is ... median  400 best  460 million samples/s, 68224 entries"
        List<(string Name, Timing Time, string Entries)> lines = [];
        string file = Path.Combine(work, "rainflow.txt");
        foreach (string line in File.Exists(file) ? File.ReadLines(file) : [])
        {
            string[] words = line.Split(' ', StringSplitOptions.RemoveEmptyEntries);
            int at = Array.IndexOf(words, "median");
            if (at > 0)
            {
                lines.Add((string.Join(' ', words[..at]), new(Seconds(words[at + 1]), Seconds(words[at + 3])), words[^2]));
            }
        }

        if (lines.Find(line => line.Name.StartsWith("every cycle with", StringComparison.Ordinal)) is not { Name: not null } ours)
        {
            yield break;
        }

        string input = string.Create(CultureInfo.InvariantCulture, $"{LoadLikeSignal.SampleCount:N0} samples, one core");
        TableRow row = new("cycle count, " + ours.Name, input, Shown.Rate(ours.Time, LoadLikeSignal.SampleCount)) { Moved = roofline.Moved(8.0 * LoadLikeSignal.SampleCount, ours.Time, oneCore: true) };
        foreach (string peer in (string[])["plain C, gcc -O2", "Python with numpy"])
        {
            (string Name, Timing Time, string Entries) other = lines.Find(line => line.Name == peer);
            yield return other.Name is null ? row with { Peer = peer + ": not on this machine" } : row with
            {
                Peer = $"{peer}: {Shown.Rate(other.Time, LoadLikeSignal.SampleCount)}",
                Ratio = Shown.Ratio(other.Time, ours.Time),
                Reached = other.Entries == ours.Entries ? ours.Entries + " entries each" : $"NOT THE SAME: {ours.Entries} entries against {other.Entries}",
            };
        }
    }

    private static (TableRow Row, ProcessRuns Runs)? Row(string work, Roofline roofline, string task, string input, string times, string log, string output) =>
        MeasuredFiles.Runs(Path.Combine(work, "times-" + times)) is not { } runs ? null
            : (new(task, input, runs.InWords) { Moved = roofline.Moved(MeasuredFiles.BytesOf(log) + MeasuredFiles.BytesOf(Path.Combine(work, output)), runs.Wall) }, runs);

    /// <summary>Seconds for all samples from millions of samples a second.</summary>
    private static double Seconds(string rate) => LoadLikeSignal.SampleCount / (1e6 * double.Parse(rate, CultureInfo.InvariantCulture));
}
