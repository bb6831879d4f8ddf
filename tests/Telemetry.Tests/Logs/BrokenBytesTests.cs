using System.Globalization;
using System.Text;
using Telemetry.Car;
using Telemetry.Ledger;
using Telemetry.Logs;

namespace Telemetry.Tests.Logs;

/// <summary>Damaged bytes of a log, a car file or a ledger give a result or an input error, never another failure. TELEMETRY_FUZZ=n multiplies the budget.</summary>
public class BrokenBytesTests
{
    /// <summary>Well beyond the time after which the Parquet reader gives a column up.</summary>
    private const int LongestMilliseconds = 60_000;

    private static int Budget(int rounds) =>
        int.TryParse(Environment.GetEnvironmentVariable("TELEMETRY_FUZZ"), NumberStyles.None, CultureInfo.InvariantCulture, out int times) ? rounds * times : rounds;

    [Fact]
    public void Damaged_csv_is_read_or_refused()
    {
        string[] files = [.. Directory.GetFiles(Repository.Data("csv", "files")), .. Directory.GetFiles(Repository.Data("csv", "spectrum"), "*.csv")];
        Fuzz([.. files.Order(StringComparer.Ordinal).Select(File.ReadAllBytes)], Budget(3000), 1);
    }

    [Fact]
    public void Damaged_parquet_is_read_or_refused()
    {
        string[] files = [.. Directory.GetFiles(Repository.Data("parquet", "logs"), "*.parquet"), .. Directory.GetFiles(Repository.Data("parquet", "data"), "*.parquet")];
        byte[] ours = ParquetRoundTripTests.Bytes(LogText.Read("time [s],a,b [N]\n0,1,\n1,2.5,3\n2,4,\n3,5,6.5\n"));
        Fuzz([ours, .. files.Order(StringComparer.Ordinal).Select(File.ReadAllBytes).Where(bytes => bytes.Length < 14_000)], Budget(1500), 2);
    }

    [Fact]
    public void A_damaged_car_file_is_read_or_refused()
    {
        string folder = Directory.CreateTempSubdirectory("car-bytes-").FullName;
        string path = Path.Combine(folder, "car.toml");
        try
        {
            byte[][] seeds = [.. Directory.GetFiles(Path.Combine(Repository.Root, "sample-runs"), "car.toml", SearchOption.AllDirectories).Order(StringComparer.Ordinal).Select(File.ReadAllBytes)];
            Fuzz(seeds, Budget(400), 3, (bytes, _) =>
            {
                File.WriteAllBytes(path, bytes);
                CarFile.Read(path);
            });
        }
        finally
        {
            Directory.Delete(folder, recursive: true);
        }
    }

    [Fact]
    public void A_damaged_ledger_is_read_or_refused() => Fuzz([Ledger()], Budget(1500), 4, (bytes, _) => LedgerFile.Parse("parts.jsonl", bytes));

    private static byte[] Ledger() => Encoding.UTF8.GetBytes(Telemetry.Tests.Ledger.LedgerDatabaseTests<Telemetry.Tests.Ledger.SqlitePlace>.OldLedger);

    private static void Fuzz(byte[][] seeds, int rounds, int seed)
    {
        LogOptions[] options = [LogOptions.Default, new() { TimeColumn = "a" }, new() { TimeColumn = "id" }, new() { TimeColumn = "sample" }];
        Fuzz(seeds, rounds, seed, (bytes, random) =>
        {
            LogOptions option = options[random.Next(options.Length)];
            LogText.Read(bytes, option, random.Next(2) == 0 ? 16 : 1 << 20);
        });
    }

    private static void Fuzz(byte[][] seeds, int rounds, int seed, Action<byte[], Random> read)
    {
        Random random = new(seed);
        for (int i = 0; i < rounds; i++)
        {
            byte[] bytes = Mutate(seeds[random.Next(seeds.Length)], random);
            try
            {
                // Damage must not end in an endless loop either; a stuck reader is told with its bytes.
                Task reading = Task.Run(() => read(bytes, random));
                Assert.True(Task.WaitAny([reading], LongestMilliseconds) == 0, $"Round {i} of seed {seed} does not end: {Convert.ToBase64String(bytes)}");
                reading.GetAwaiter().GetResult();
            }
            catch (InputError)
            {
                // Refused: that is one of the two right answers.
            }
            catch (Exception failure) when (failure is not Xunit.Sdk.XunitException)
            {
                Assert.Fail($"Round {i} of seed {seed}: {failure}\n{Convert.ToBase64String(bytes)[..Math.Min(2000, bytes.Length)]}");
            }
        }
    }

    private static byte[] Mutate(byte[] original, Random random)
    {
        List<byte> bytes = [.. original];
        byte[] telling = [0, 1, 0x7F, 0x80, 0xFF, .. "\",;\t\r\n#.-e9 "u8];
        int changes = 1 + random.Next(4);
        for (int i = 0; i < changes && bytes.Count > 0; i++)
        {
            int at = random.Next(bytes.Count);
            switch (random.Next(6))
            {
                case 0:
                    bytes[at] ^= (byte)(1 << random.Next(8));
                    break;
                case 1:
                    bytes[at] = telling[random.Next(telling.Length)];
                    break;
                case 2:
                    bytes.RemoveRange(at, Math.Min(bytes.Count - at, 1 + random.Next(8)));
                    break;
                case 3:
                    bytes.Insert(at, telling[random.Next(telling.Length)]);
                    break;
                case 4:
                    bytes.AddRange(bytes.GetRange(at, Math.Min(bytes.Count - at, 1 + random.Next(200))));
                    break;
                default:
                    // The footer of a Parquet file stands at its end and is where damage tells most.
                    int tail = Math.Max(0, bytes.Count - 1 - random.Next(Math.Min(bytes.Count, 700)));
                    bytes[tail] = (byte)random.Next(256);
                    break;
            }
        }

        return [.. bytes];
    }
}
