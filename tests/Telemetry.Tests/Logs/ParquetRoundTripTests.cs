using System.Collections.Immutable;
using CsCheck;
using Telemetry.Logs;

namespace Telemetry.Tests.Logs;

/// <summary>What is written is read back to the bit.</summary>
public class ParquetRoundTripTests
{
    [Fact]
    public void Any_channels_on_any_time_bases_come_back_bit_for_bit() =>
        Logs().Sample(log => LogText.AssertSame(log, RoundTrip(log) with { Source = log.Source }), seed: "0N0XIzNsQ0O4", iter: 200, threads: 1);

    [Fact]
    public void Grids_that_differ_in_their_last_bits_share_rows()
    {
        LoggedChannel fast = new("fast", "N", TimeBase.Even(0, 0.001, 1000), [.. Enumerable.Range(0, 1000).Select(i => i * 0.1)]);
        LoggedChannel slow = new("slow", "degC", TimeBase.Even(0, 0.01, 100), [.. Enumerable.Range(0, 100).Select(i => 20 + (i * 0.5))]);
        RunLog log = new("run", "run.csv", [fast, slow], []);
        ParquetRows rows = ParquetRows.Of([fast.Time, slow.Time]);
        Assert.Equal(1000, rows.Count);
        Assert.Null(rows.RowsOf(fast.Time));
        LogText.AssertSame(log, RoundTrip(log));
    }

    [Fact]
    public void Findings_and_the_start_survive()
    {
        RunLog log = LogText.Read("time,x\n2024-03-01T10:00:00Z,1\n2024-03-01T10:00:01Z,nan\n2024-03-01T10:00:01Z,3\n2024-03-01T10:00:02Z,4\n");
        Assert.Equal(2, log.Findings.Length);
        LogText.AssertSame(log, RoundTrip(log));
    }

    [Fact]
    public void Names_with_points_brackets_and_signs_are_kept()
    {
        TimeBase time = TimeBase.Even(0, 1, 2);
        RunLog log = new("r", "r.csv", [new("a.b", "", time, [1, 2]), new("load (N)", "kN", time, [1.5, 2]), new("Temp \u00b0", "\u00b0C", time, [-0.0, 2])], []);
        LogText.AssertSame(log, RoundTrip(log));
    }

    [Fact]
    public void A_file_appears_whole_or_not_at_all()
    {
        string folder = Directory.CreateTempSubdirectory("logs").FullName;
        try
        {
            string path = Path.Combine(folder, "run.parquet");
            LoggedChannel channel = new("x", "", TimeBase.Even(0, 1, 2), [1, 2]);
            Assert.Throws<ArgumentException>(() => ParquetLogWriter.Write(new RunLog("r", "r.csv", [channel, channel], []), path));
            Assert.Empty(Directory.GetFiles(folder));
            ParquetLogWriter.Write(new RunLog("r", "r.csv", [channel], []), path);
            Assert.Equal([path], Directory.GetFiles(folder));
            byte[] first = File.ReadAllBytes(path);
            ParquetLogWriter.Write(new RunLog("r", "r.csv", [channel], []), path);
            Assert.Equal(first, File.ReadAllBytes(path));
        }
        finally
        {
            Directory.Delete(folder, recursive: true);
        }
    }

    internal static byte[] Bytes(RunLog log)
    {
        using MemoryStream stream = new();
        ParquetLogWriter.Write(log, stream);
        return stream.ToArray();
    }

    private static RunLog RoundTrip(RunLog log) => LogReader.Read(Bytes(log), "run.parquet", LogOptions.Default);

    private static Gen<RunLog> Logs()
    {
        Gen<TimeBase> even = Gen.Select(Gen.Double[-10, 100], Gen.Double[1e-3, 0.5], Gen.Int[1, 60]).Select(TimeBase.Even);
        Gen<TimeBase> uneven = Gen.Double[1e-4, 1].Array[1, 60].Select(steps =>
        {
            double at = 0;
            return TimeBase.Uneven([.. steps.Select(step => at += step)]);
        });
        Gen<double> value = Gen.OneOf(Gen.Double, Gen.Int.Select(i => (double)i), Gen.Const(double.NaN), Gen.Const(-0.0), Gen.Double[-1, 1].Select(v => Math.Round(v, 3)));
        Gen<double> whole = Gen.Int[-5000, 5000].Select(i => (double)i);
        return Gen.OneOf(even, uneven).Array[1, 4].SelectMany(times =>
            Gen.Select(Gen.Int[0, times.Length - 1], Gen.Bool).Array[1, 6].SelectMany(picks =>
                Gen.OneOf(value, whole).Array[60 * picks.Length].Select(values =>
                {
                    ImmutableArray<LoggedChannel> channels = [.. picks.Select((pick, k) => new LoggedChannel(
                        $"channel {k}",
                        k % 2 == 0 ? "N" : "",
                        times[pick.Item1],
                        [.. values.AsSpan(60 * k, times[pick.Item1].Count).ToArray().Select(v => double.IsFinite(v) ? v : double.NaN)]))];
                    return new RunLog("run", "run.csv", channels, []);
                })));
    }
}
