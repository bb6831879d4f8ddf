using System.Globalization;
using System.Text;
using CsCheck;
using Telemetry.Car;
using Telemetry.Ledgers;
using Telemetry.Logs;
using Telemetry.Output;
using Telemetry.Tests.Cli;
using Telemetry.Tests.Ledger;
using Telemetry.Tests.Logs;
using Telemetry.Tests.Output;

namespace Telemetry.Tests.Hostile;

/// <summary>
/// Whatever the bytes of a file are, each reader gives a result or an input error, within ten seconds and in bounded memory. A failure prints CsCheck's seed, with which it
/// happens again (CsCheck_Seed). TELEMETRY_INPUTS=n sets how many inputs of each kind.
/// </summary>
[Collection(nameof(MeasuredMemory))]
public sealed class DamagedInputTests : IDisposable
{
    private const int LongestS = 10;

    /// <summary>Most bytes that one small input may make the process allocate, MB.</summary>
    private const int MostMegabytes = 64;

    private static readonly byte[][] Signs = Words("", ",", ";", "\t", "\n", "\r\n", "\"", "\"\"", "#", "-", "NaN", "1e999", "-1e-999", "9223372036854775808", "0x10", "1,5", "[", "]", "°C", "\ufeff", "\0", "\u2028", "time [s]", "'", "=1+1");

    private static readonly byte[][] TomlWords = [.. Signs, .. Words("[", "]", "[[components]]", "=", "{", "}", "\"\"\"", "'''", "nan", "inf", "-1", "1e400", "\"0 m\"", "\"-1 kN\"", "true", "1979-05-27T07:32:00Z", "[[[[[[[[[[[[[[[[", "a.b.c = 1\n", "\\u0000", "\\UFFFFFFFF")];

    private static readonly byte[][] Numbers = [[0], [0xFF, 0xFF, 0xFF, 0xFF, 0x0F], [0xFF, 0xFF, 0xFF, 0x7F], [0, 0, 0, 0x80], [0x80, 0x80, 0x80, 0x80, 0x80, 0x80, 0x80, 0x80, 0x80, 1], [0xFE, 0xFF, 0xFF, 0xFF, 0x0F], .. Words("PAR1", "SQLite format 3\0")];

    private static readonly byte[][] JsonWords = [.. Words("null", "{}", "[]", "[null]", "1e999", "-1", "0", "\"\"", "true", ",", ":", "{", "[", "\"\\u0000\"", "9999999999999999999999", "\"NaN\"", "1e-320", "1e300")];

    private readonly TemporaryFolder folder = new();

    private static int Inputs(int few) =>
        int.TryParse(Environment.GetEnvironmentVariable("TELEMETRY_INPUTS"), NumberStyles.None, CultureInfo.InvariantCulture, out int asked) ? asked : few;

    private static byte[][] Words(params string[] words) => [.. words.Select(Encoding.UTF8.GetBytes)];

    private static byte[][] Files(int most, string pattern, params string[] places) =>
        [.. places.SelectMany(place => Directory.GetFiles(place, pattern, SearchOption.AllDirectories)).Order(StringComparer.Ordinal).Select(File.ReadAllBytes).Where(bytes => bytes.Length < most)];

    public void Dispose() => folder.Dispose();

    /// <summary>Reads each input; anything but a result or an input error fails.</summary>
    private static void Each(Gen<byte[]> inputs, int few, Action<byte[]> read) => inputs.Sample(
        bytes =>
        {
            long before = GC.GetTotalAllocatedBytes();
            Task reading = Task.Run(() =>
            {
                try
                {
                    read(bytes);
                }
                catch (InputError refused)
                {
                    Assert.All(refused.Faults, fault => Assert.False(fault.Where.Length == 0 || fault.Found.Length == 0 || fault.Remedy.Length == 0, $"'{fault}' does not say where, what and what to do"));
                }
            });
            Assert.True(Task.WaitAny([reading], TimeSpan.FromSeconds(LongestS)) == 0, $"not read within {LongestS} s");
            reading.GetAwaiter().GetResult();
            long megabytes = (GC.GetTotalAllocatedBytes() - before) >> 20;
            Assert.True(megabytes <= MostMegabytes, $"{megabytes} MB were allocated");
        },
        iter: Inputs(few),
        threads: 1,
        print: bytes => $"{bytes.Length} bytes: {Convert.ToBase64String(bytes.AsSpan(0, Math.Min(bytes.Length, 3000)))}");

    [Fact]
    public void A_csv_log() => Each(
        DamagedBytes.Of(Files(20_000, "*.csv", Repository.Data("csv")), Signs), 1500, bytes => LogText.Read(bytes, LogOptions.Default, 1 << 20));

    [Fact]
    public void A_parquet_log() => Each(
        DamagedBytes.Of([ParquetRoundTripTests.Bytes(LogText.Read("time [s],a,b [N]\n0,1,\n1,2.5,3\n2,4,\n3,5,6.5\n")), .. Files(8000, "*.parquet", Repository.Data("parquet"))], Numbers), 800, bytes => LogText.Read(bytes, LogOptions.Default, 1 << 20));

    [Fact]
    public void A_car_file()
    {
        string path = folder["car.toml"];
        Each(DamagedBytes.Of(Files(100_000, "car.toml", Path.Combine(Repository.Root, "sample-runs")), TomlWords), 300, bytes =>
        {
            File.WriteAllBytes(path, bytes);
            CarFile.Check(path);
            CarFile.Read(path);
        });
    }

    [Fact]
    public void A_life_ledger()
    {
        string path = folder["parts.db"];
        LedgerDatabase whole = LedgerDatabase.Open(LedgerAddress.Read(path), LedgerRuns.Now);
        whole.Record(LedgerRuns.Run("a", LedgerRuns.Part("P", 0.25, 1000, -2000)), LedgerRuns.CarText, LedgerRuns.Now);
        whole.Record(LedgerRuns.At(10, LedgerRuns.Run("b", LedgerRuns.Part("P", 0.125), LedgerRuns.Part("Q", 0.5))), LedgerRuns.CarText, LedgerRuns.Now);
        byte[] seed = File.ReadAllBytes(path);
        Each(DamagedBytes.Of([seed], Numbers), 200, bytes =>
        {
            File.Delete(path + "-journal");
            File.WriteAllBytes(path, bytes);
            LedgerDatabase ledger;
            try
            {
                ledger = LedgerDatabase.Open(LedgerAddress.Read(path), LedgerRuns.Now);
            }
            catch (IOException)
            {
                // A cut-off file may look new, and then the tables that cannot be made are output that could not be written: the command's exit code 4.
                return;
            }

            ledger.Read();
            ledger.Verify();
        });
    }

    [Fact]
    public void A_kept_summary_in_compare()
    {
        byte[] whole = SummaryFile.ToJson(SummaryFile.From(SampleReviews.Full));
        Directory.CreateDirectory(folder["one"]);
        Directory.CreateDirectory(folder["two"]);
        File.WriteAllBytes(folder["one", ResultFolder.Mark], whole);
        Each(DamagedBytes.Of([whole], JsonWords), 300, bytes =>
        {
            File.WriteAllBytes(folder["two", ResultFolder.Mark], bytes);
            CommandRun run = CommandRun.Of("compare", folder["one"], folder["two"], "--quiet");
            Assert.True(run.Code is 0 or 3, $"exit code {run.Code}: {run.Error}");
            Assert.True(run.Code == 0 || run.Error.Length > 0);
        });
    }
}
