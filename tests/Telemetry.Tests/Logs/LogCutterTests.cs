using System.Globalization;
using System.IO.Compression;
using System.Text;
using Telemetry.Logs;
using Telemetry.Tests.Output;

namespace Telemetry.Tests.Logs;

public class LogCutterTests
{
    private static readonly LogOptions Speed = LogOptions.Default with { OnlyColumns = ["Speed"], ScaleAs = (_, _) => new(1 / 3.6, 0) };

    private static List<byte[]> Runs(string path, LogOptions? options = null, CutOptions? cut = null, int windowBytes = LogCutter.DefaultWindowBytes)
    {
        CutPlan plan = LogCutter.Plan(path, options ?? Speed, cut ?? CutOptions.Default, windowBytes);
        return [.. plan.Runs.Select(run =>
        {
            using MemoryStream target = new();
            LogCutter.Copy(plan, run, target);
            return target.ToArray();
        })];
    }

    private static string[] Rows(byte[] run, string lineBreak = "\n") => [.. Encoding.UTF8.GetString(run).Split(lineBreak).Skip(3).Where(row => row.Length > 0)];

    [Theory]
    [InlineData("\n", 1, LogCutter.DefaultWindowBytes)]
    [InlineData("\n", 1, 1000)]
    [InlineData("\n", 7, 5000)]
    [InlineData("\r\n", 1, 20_000)]
    [InlineData("\r", 1, 20_000)]
    public void Runs_hold_every_row_once_under_the_logs_own_head_and_part_in_the_middle_of_a_stop(string lineBreak, int speedEvery, int windowBytes)
    {
        using TemporaryFolder folder = new();
        string text = LongLog.Text(stops: 3, stopS: 40, lineBreak, speedEvery: speedEvery);
        List<byte[]> runs = Runs(folder.Write("race.csv", text), windowBytes: windowBytes);
        Assert.Equal(4, runs.Count);
        string head = text[..text.IndexOf("0.00,", StringComparison.Ordinal)];
        Assert.All(runs, run => Assert.StartsWith(head, Encoding.UTF8.GetString(run), StringComparison.Ordinal));
        Assert.Equal(text, head + string.Concat(runs.Select(run => Encoding.UTF8.GetString(run)[head.Length..])));
        for (int k = 1; k < runs.Count; k++)
        {
            // The k-th stop between driven stretches begins k periods behind the start; samples stand from its first to its last, so that the middle is known to two steps.
            double middle = (k * (40 + LongLog.DrivenS)) + 20;
            double first = double.Parse(Rows(runs[k], lineBreak)[0].Split(',')[0], CultureInfo.InvariantCulture);
            Assert.InRange(first, middle - (2 * speedEvery * LongLog.StepS), middle + (2 * speedEvery * LongLog.StepS));
        }
    }

    /// <summary>What the memory of a whole log would hold at those times is what its runs read to, to the bit.</summary>
    [Fact]
    public void A_run_reads_to_the_numbers_of_the_whole_log()
    {
        using TemporaryFolder folder = new();
        string path = folder.Write("race.csv", LongLog.Text(stops: 2, stopS: 30));
        RunLog whole = LogReader.Read(path, LogOptions.Default);
        int at = 0;
        foreach (byte[] bytes in Runs(path))
        {
            RunLog run = LogReader.Read(bytes, "run.csv", LogOptions.Default);
            Assert.Equal(whole.Channels.Select(channel => (channel.Name, channel.Unit)), run.Channels.Select(channel => (channel.Name, channel.Unit)));
            int count = run.Channels[0].Samples.Length;
            for (int c = 0; c < run.Channels.Length; c++)
            {
                Assert.Equal(whole.Channels[c].Samples.Slice(at, count).Select(BitConverter.DoubleToInt64Bits), run.Channels[c].Samples.Select(BitConverter.DoubleToInt64Bits));
            }

            Assert.Equal(whole.Channels[0].Time.At(at), run.Channels[0].Time.StartS, 1e-9);
            Assert.Empty(run.Findings);
            at += count;
        }

        Assert.Equal(whole.Channels[0].Samples.Length, at);
    }

    [Fact]
    public void Dates_and_times_of_day_past_midnight_are_cut_alike()
    {
        using TemporaryFolder folder = new();
        DateTime start = new(2026, 3, 28, 23, 58, 30, DateTimeKind.Utc);
        string plain = folder.Write("plain.csv", LongLog.Text(3, 40));
        string dated = folder.Write("dated.csv", LongLog.Text(3, 40, time: t => start.AddSeconds(t).ToString("yyyy-MM-dd'T'HH:mm:ss.fff'Z'", CultureInfo.InvariantCulture)).Replace("s,km/h,", ",km/h,", StringComparison.Ordinal));
        string ofDay = folder.Write("of day.csv", LongLog.Text(3, 40, time: t => start.AddSeconds(t).ToString("HH:mm:ss.fff", CultureInfo.InvariantCulture)).Replace("s,km/h,", ",km/h,", StringComparison.Ordinal));
        int[] Counted(string path) => [.. Runs(path, windowBytes: 3000).Select(run => int.Parse(Rows(run)[0].Split(',')[2], CultureInfo.InvariantCulture))];
        int[] expected = Counted(plain);
        Assert.Equal(4, expected.Length);

        // The middle of a stop falls on a row; which side of it the rounding of a time lies is the style's affair.
        Assert.All([Counted(dated), Counted(ofDay)], rows => Assert.All(rows.Zip(expected), pair => Assert.InRange(pair.First, pair.Second - 1, pair.Second + 1)));
    }

    [Fact]
    public void Milliseconds_count_as_such()
    {
        using TemporaryFolder folder = new();
        string text = LongLog.Text(1, 40, time: t => (1000 * t).ToString("0", CultureInfo.InvariantCulture)).Replace("s,km/h,", "ms,km/h,", StringComparison.Ordinal);
        Assert.Equal(2, Runs(folder.Write("race.csv", text)).Count);
    }

    [Fact]
    public void A_stop_that_is_too_short_is_none()
    {
        using TemporaryFolder folder = new();
        string path = folder.Write("race.csv", LongLog.Text(stops: 2, stopS: 15));
        Assert.Single(Runs(path));
        Assert.Equal(3, Runs(path, cut: CutOptions.Default with { ShortestStopS = 10 }).Count);
    }

    /// <summary>Times and speeds of a day: out, a long stop in the garage, a push to the pit lane, a wait there, out again.</summary>
    [Fact]
    public void Between_two_driven_stretches_the_longest_stop_is_cut()
    {
        StopFinder finder = new(CutOptions.Default);
        (double Seconds, double Mps)[] day = [(30, 0), (100, 50), (300, 0), (10, 1.5), (60, 0), (100, 60), (40, 0)];
        double t = 0;
        foreach ((double seconds, double mps) in day)
        {
            for (double end = t + seconds; t < end - 1e-9; t += 1)
            {
                finder.Add(t, mps);
            }
        }

        Stop cut = Assert.Single(finder.Cuts(out var tops));
        Assert.Equal((130, 429), (cut.FromS, cut.ToS));
        Assert.Equal([50, 60], tops);
    }

    [Fact]
    public void A_speed_that_says_nothing_is_no_stop()
    {
        StopFinder finder = new(CutOptions.Default);
        for (int t = 0; t < 300; t++)
        {
            finder.Add(t, t is > 100 and < 200 ? t % 15 == 0 ? double.NaN : 0 : 40);
        }

        Assert.Empty(finder.Cuts(out _));
    }

    [Fact]
    public void What_cannot_be_cut_is_refused_with_the_way_out()
    {
        using TemporaryFolder folder = new();
        string text = LongLog.Text(1, 30);
        using (FileStream file = File.Create(folder["packed.csv.gz"]))
        using (GZipStream packed = new(file, CompressionLevel.Fastest))
        {
            packed.Write(Encoding.UTF8.GetBytes(text));
        }

        File.WriteAllText(folder["wide.csv"], text, Encoding.Unicode);
        Assert.Contains("gzip", Refused("packed.csv.gz"), StringComparison.Ordinal);
        Assert.Contains("UTF-16", Refused("wide.csv"), StringComparison.Ordinal);
        Assert.Contains("Parquet", Assert.Throws<InputError>(() => Runs(Path.Combine(Repository.Root, "sample-runs", "baseline", "log.parquet"))).Message, StringComparison.Ordinal);
        folder.Write("slow.csv", text.Replace("Speed", "Velocity", StringComparison.Ordinal));
        Assert.Contains("'Speed'; besides time there are 'Velocity', 'row'", Refused("slow.csv"), StringComparison.Ordinal);

        string Refused(string name) => Assert.Throws<InputError>(() => Runs(folder[name])).Message;
    }

    [Fact]
    public void A_log_that_became_shorter_meanwhile_leaves_no_run()
    {
        using TemporaryFolder folder = new();
        string path = folder.Write("race.csv", LongLog.Text(1, 30));
        CutPlan plan = LogCutter.Plan(path, Speed, CutOptions.Default);
        using (FileStream file = File.OpenWrite(path))
        {
            file.SetLength(plan.FileBytes / 2);
        }

        InputError error = Assert.Throws<InputError>(() => LogCutter.Copy(plan, plan.Runs[^1], Stream.Null));
        Assert.Contains("became shorter", error.Message, StringComparison.Ordinal);
    }

    [Fact]
    public void A_full_disk_is_no_fault_of_the_log()
    {
        using TemporaryFolder folder = new();
        CutPlan plan = LogCutter.Plan(folder.Write("race.csv", LongLog.Text(1, 30)), Speed, CutOptions.Default);
        using FullDisk disk = new();
        Assert.Equal("No space left", Assert.Throws<IOException>(() => LogCutter.Copy(plan, plan.Runs[0], disk)).Message);
    }

    private sealed class FullDisk : MemoryStream
    {
        public override void Write(byte[] buffer, int offset, int count) => throw new IOException("No space left");
    }

    /// <summary>What is held of a log is a window and its runs, not the log.</summary>
    [Fact]
    public void A_plan_keeps_nothing_of_the_rows()
    {
        using TemporaryFolder folder = new();
        string path = folder.Write("race.csv", LongLog.Text(40, 30));
        const int Window = 1 << 15;
        _ = LogCutter.Plan(path, Speed, CutOptions.Default, Window);
        GC.Collect();
        long before = GC.GetTotalMemory(forceFullCollection: true);
        CutPlan plan = LogCutter.Plan(path, Speed, CutOptions.Default, Window);
        long kept = GC.GetTotalMemory(forceFullCollection: true) - before;
        Assert.Equal(41, plan.Runs.Length);
        Assert.True(kept < 200_000, $"{kept} bytes are kept of a log of {plan.FileBytes}");
    }
}
