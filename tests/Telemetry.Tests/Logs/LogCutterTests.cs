using System.Globalization;
using System.IO.Compression;
using System.Text;
using Telemetry.Logs;
using Telemetry.Output;
using Telemetry.Tests.Output;

namespace Telemetry.Tests.Logs;

public class LogCutterTests
{
    private static readonly LogOptions Speed = LogOptions.Default with { OnlyColumns = ["Speed"] };

    private static readonly CutOptions Kmh = CutOptions.Default with { MpsOfUnit = _ => 1 / 3.6 };

    private static List<byte[]> Runs(string path, LogOptions? options = null, CutOptions? cut = null, int windowBytes = LogCutter.DefaultWindowBytes)
    {
        CutPlan plan = LogCutter.Plan(path, options ?? Speed, cut ?? Kmh, windowBytes);
        List<byte[]> runs = [];
        LogCutter.Copy(plan, (_, write) =>
        {
            using MemoryStream target = new();
            write(target);
            runs.Add(target.ToArray());
        });
        return runs;
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
                Assert.Equal(whole.Channels[c].Samples.Skip(at).Take(count).Select(BitConverter.DoubleToInt64Bits), run.Channels[c].Samples.Select(BitConverter.DoubleToInt64Bits));
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

    /// <summary>A log of 6 MB, longer than what is kept of an unpacked one, so that it is unpacked several times.</summary>
    [Fact]
    public void A_packed_log_is_cut_as_the_plain_one()
    {
        using TemporaryFolder folder = new();
        string text = LongLog.Text(stops: 60, stopS: 100);
        byte[] bytes = Encoding.UTF8.GetBytes(text + string.Concat(Enumerable.Repeat("# a remark below the rows, as long as it likes\n", 100_000)));
        Assert.True(bytes.Length > 6_500_000);
        File.WriteAllBytes(folder["plain.csv"], bytes);
        File.WriteAllBytes(folder["packed.csv.gz"], Packed(bytes));
        List<byte[]> plain = Runs(folder["plain.csv"], windowBytes: 1 << 16);
        Assert.Equal(61, plain.Count);
        Assert.Equal(plain, Runs(folder["packed.csv.gz"], windowBytes: 1 << 16));
        Assert.Equal("packed", LogCutter.Plan(folder["packed.csv.gz"], Speed, Kmh).Name);
    }

    private static byte[] Packed(byte[] bytes)
    {
        using MemoryStream target = new();
        using (GZipStream packing = new(target, CompressionLevel.Fastest))
        {
            packing.Write(bytes);
        }

        return target.ToArray();
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
        File.WriteAllBytes(folder["twice.csv.gz"], Packed(Packed(Encoding.UTF8.GetBytes(text))));
        byte[] packed = Packed(Encoding.UTF8.GetBytes(text));
        File.WriteAllBytes(folder["half.csv.gz"], packed[..(packed.Length / 2)]);
        File.WriteAllBytes(folder["joined.csv.gz"], [.. packed, .. packed]);
        packed[packed.Length / 2] ^= 4;
        File.WriteAllBytes(folder["damaged.csv.gz"], packed);
        File.WriteAllText(folder["wide.csv"], text, Encoding.Unicode);
        Assert.Contains("packed twice", Refused("twice.csv.gz"), StringComparison.Ordinal);
        Assert.All(["half.csv.gz", "joined.csv.gz", "damaged.csv.gz"], name => Assert.Contains("damaged, stops early, or was joined", Refused(name), StringComparison.Ordinal));
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
        CutPlan plan = LogCutter.Plan(path, Speed, Kmh);
        using (FileStream file = File.OpenWrite(path))
        {
            file.SetLength(plan.TextBytes / 2);
        }

        InputError error = Assert.Throws<InputError>(() => LogCutter.Copy(plan, (_, write) => write(Stream.Null)));
        Assert.Contains("became shorter", error.Message, StringComparison.Ordinal);
    }

    [Fact]
    public void A_full_disk_is_no_fault_of_the_log()
    {
        using TemporaryFolder folder = new();
        CutPlan plan = LogCutter.Plan(folder.Write("race.csv", LongLog.Text(1, 30)), Speed, Kmh);
        using FullDisk disk = new();
        OutputError error = Assert.Throws<OutputError>(() => LogCutter.Copy(plan, (_, write) => WholeFiles.Write((folder["run.csv"], _ => write(disk)))));
        Assert.Contains("No space left", error.Message, StringComparison.Ordinal);
        Assert.Equal(["race.csv"], Directory.EnumerateFiles(folder.Root).Select(Path.GetFileName));
    }

    private sealed class FullDisk : MemoryStream
    {
        public override void Write(byte[] buffer, int offset, int count) => throw new IOException("No space left");
    }

    /// <summary>Nothing reads more at a time than a window and the row that it ends in: what a plan holds of a log does not grow with it.</summary>
    [Fact]
    public void No_more_than_a_window_is_read_at_a_time()
    {
        const int Window = 1 << 15;
        using Watched file = new(Encoding.UTF8.GetBytes(LongLog.Text(200, 30)));
        Assert.True(file.Length > 100 * Window);
        Assert.Equal(201, LogCutter.Plan(file, "race.csv", Speed, Kmh, Window).Runs.Length);

        // The head is looked for in the first 256 KB, whatever the window.
        Assert.InRange(file.Largest, Window, 1 << 18);
        Assert.InRange(file.LargestBehindTheHead, Window, Window + 100);
    }

    private sealed class Watched(byte[] bytes) : LogSource
    {
        public int Largest { get; private set; }

        public int LargestBehindTheHead { get; private set; }

        public override long Length => bytes.Length;

        public override int Read(long offset, Span<byte> buffer)
        {
            Largest = Math.Max(Largest, buffer.Length);
            LargestBehindTheHead = offset > 0 ? Math.Max(LargestBehindTheHead, buffer.Length) : LargestBehindTheHead;
            int count = (int)Math.Min(buffer.Length, bytes.Length - offset);
            bytes.AsSpan((int)offset, count).CopyTo(buffer);
            return count;
        }
    }
}
