using System.Diagnostics;
using System.Globalization;
using Telemetry.Logs;

namespace Telemetry.Benchmarks.Table;

/// <summary>Import of CSV and of Parquet against the peers, and how it grows; in one process, warm.</summary>
internal static class ImportRows
{
    private const int Repeats = 7;
    private const int SlowRepeats = 3;
    private const int GrowthRepeats = 5;
    private const int WarmUps = 3;

    /// <summary>All rows.</summary>
    /// <param name="work">Folder of the logs, as table.sh makes it.</param>
    /// <param name="roofline">The memory's bandwidth.</param>
    public static IEnumerable<TableRow> From(string work, Roofline roofline)
    {
        string csv = Path.Combine(work, "log.csv");
        RunLog log = LogReader.Read(csv, LogOptions.Default);
        string input = Input(csv, log);
        foreach (TableRow row in Csv(csv, log, input, roofline))
        {
            yield return row;
        }

        string parquet = Path.Combine(work, "log.parquet");
        ParquetLogWriter.Write(log, parquet);
        foreach (TableRow row in Parquet(parquet, log, roofline))
        {
            yield return row;
        }

        File.Delete(parquet);
        yield return Growth("import of CSV: growth with rows", "rows of 20 channels", Sized(work, "minutes-*", csv, (path, read) => read.Channels[0].Samples.Length));
        yield return Growth("import of CSV: growth with channels", "channels of 15 min", Sized(work, "channels-*", csv, (path, read) => read.Channels.Length));
    }

    private static IEnumerable<TableRow> Csv(string csv, RunLog log, string input, Roofline roofline)
    {
        using DuckPeer duck = new(csv);
        Timing[] fast = Timing.InTurn(Repeats, WarmUps, () => Ours(csv), () => CsvPeers.BareParallel(csv), () => CsvPeers.SepParallel(csv));
        Timing[] slow = Timing.InTurn(SlowRepeats, 1, duck.Load, () => CsvPeers.SepOneThread(csv), () =>
        {
            duck.Load();
            _ = duck.ReadOut();
        });
        ReadOnlyMemory<double>[] ours = Values(log);
        double bytes = MeasuredFiles.BytesOf(csv) + Roofline.BytesOf(log);
        TableRow Against(string name, Timing time, ParsedColumns reached) => new("import of CSV, warm", input, Shown.Time(fast[0]))
        {
            Peer = $"{name}: {Shown.Time(time)}",
            Ratio = Shown.Ratio(time, fast[0]),
            Moved = roofline.Moved(bytes, fast[0]),
            Reached = reached.AgreementWith(ours),
        };
        string threads = string.Create(CultureInfo.InvariantCulture, $"{roofline.Cores} threads");
        yield return Against($"raw parallel reader: bare CsvHelper {VersionOf(typeof(CsvHelper.CsvReader))}, {threads}", fast[1], CsvPeers.BareParallel(csv));
        yield return Against($"Sep {VersionOf(typeof(nietras.SeparatedValues.Sep))}, parallel, {threads}", fast[2], CsvPeers.SepParallel(csv));
        yield return Against("Sep, one thread", slow[1], CsvPeers.SepOneThread(csv));
        duck.Load();
        ParsedColumns table = duck.ReadOut();
        yield return Against($"DuckDB {duck.Version}, {threads}, into its own table in memory, values not read out", slow[0], table);
        yield return Against("DuckDB, the same and every value read out through DuckDB.NET", slow[2], table);
    }

    private static IEnumerable<TableRow> Parquet(string parquet, RunLog log, Roofline roofline)
    {
        Timing[] times = Timing.InTurn(Repeats, WarmUps, () => Ours(parquet), () => ParquetPeer.Read(parquet, roofline.Cores), () => ParquetPeer.Read(parquet, 1));
        ReadOnlyMemory<double>[] ours = Values(LogReader.Read(parquet, LogOptions.Default));
        double bytes = MeasuredFiles.BytesOf(parquet) + Roofline.BytesOf(log);
        string version = VersionOf(typeof(ParquetSharp.ParquetFileReader));
        foreach ((string name, Timing time, int threads) in ((string, Timing, int)[])[($"ParquetSharp {version}, columns on {roofline.Cores} threads", times[1], roofline.Cores), ("ParquetSharp, one thread", times[2], 1)])
        {
            yield return new("import of Parquet, warm", Input(parquet, log), Shown.Time(times[0]))
            {
                Peer = $"{name}: {Shown.Time(time)}",
                Ratio = Shown.Ratio(time, times[0]),
                Moved = roofline.Moved(bytes, times[0]),
                Reached = ParquetPeer.Read(parquet, threads).AgreementWith(ours),
            };
        }
    }

    private static TableRow Growth(string task, string what, (double Size, string Path)[] sized)
    {
        // In turn, so that a slow moment of the machine does not bend the line.
        List<(double, double)> runs = [];
        for (int repeat = 0; repeat < GrowthRepeats; repeat++)
        {
            foreach ((double size, string path) in sized)
            {
                GC.Collect();
                long start = Stopwatch.GetTimestamp();
                Ours(path);
                runs.Add((size, Stopwatch.GetElapsedTime(start).TotalSeconds));
            }
        }

        return GrowthFit.Row(task, what, runs);
    }

    private static (double Size, string Path)[] Sized(string work, string folders, string middle, Func<string, RunLog, double> size) =>
        [.. Directory.GetDirectories(work, folders).Order(StringComparer.Ordinal).Select(folder => Path.Combine(folder, "log.csv")).Append(middle)
            .Select(path => (size(path, LogReader.Read(path, LogOptions.Default)), path))];

    private static void Ours(string path) => _ = LogReader.Read(path, LogOptions.Default);

    private static ReadOnlyMemory<double>[] Values(RunLog log) => [.. log.Channels.Select(channel => channel.Samples.ToImmutableArray().AsMemory())];

    private static string Input(string path, RunLog log) => string.Create(
        CultureInfo.InvariantCulture,
        $"{log.Channels[0].Samples.Length:N0} rows, {log.Channels.Length} channels, {MeasuredFiles.BytesOf(path) / 1e6:0} MB");

    private static string VersionOf(Type type) => type.Assembly.GetName().Version?.ToString(3) ?? "";
}
