using System.Globalization;
using System.IO.Compression;
using System.Text;
using Telemetry.Logs;
using Telemetry.Tests.Output;

namespace Telemetry.Tests.Logs;

public class LogGlanceTests
{
    private static string Csv(int rows)
    {
        StringBuilder text = new("time,x [N],y [N]\n");
        for (int i = 0; i < rows; i++)
        {
            text.Append(CultureInfo.InvariantCulture, $"{new DateTime(2026, 3, 31, 10, 0, 0, DateTimeKind.Utc).AddMilliseconds(10 * i):yyyy-MM-dd'T'HH:mm:ss.fff'Z'},{i},1\n");
        }

        return text.ToString();
    }

    [Theory]
    [InlineData("csv")]
    [InlineData("csv.gz")]
    [InlineData("parquet")]
    public void A_glance_sees_the_start_and_about_the_size_that_reading_would(string form)
    {
        using TemporaryFolder folder = new();
        string csv = folder.Write("a.csv", Csv(40_000)), path = folder["b." + form];
        RunLog log = LogReader.Read(csv, LogOptions.Default);
        switch (form)
        {
            case "csv":
                File.Copy(csv, path);
                break;
            case "csv.gz":
                using (GZipStream packed = new(File.Create(path), CompressionLevel.Fastest))
                {
                    packed.Write(File.ReadAllBytes(csv));
                }

                break;
            default:
                ParquetLogWriter.Write(log, path);
                break;
        }

        LogGlance glance = LogGlance.Of(path, LogOptions.Default);
        Assert.Equal(new DateTimeOffset(2026, 3, 31, 10, 0, 0, TimeSpan.Zero), glance.StartedAtUtc);
        Assert.Equal(log.StartedAtUtc, glance.StartedAtUtc);
        // Three columns of 40 000 rows. The length of packed text is a guess that may err by a few times.
        Assert.InRange(glance.Numbers, form == "csv.gz" ? 30_000 : 115_000, form == "csv.gz" ? 1_000_000 : 125_000);
    }

    [Fact]
    public void A_log_without_dates_and_a_file_that_is_no_log_have_no_start()
    {
        using TemporaryFolder folder = new();
        Assert.Null(LogGlance.Of(folder.Write("a.csv", "time [s],x [N]\n0,1\n0.1,2\n"), LogOptions.Default).StartedAtUtc);
        Assert.Null(LogGlance.Of(folder.Write("b.csv", "no log at all"), LogOptions.Default).StartedAtUtc);
        Assert.Null(LogGlance.Of(folder.Write("c.parquet", "PAR1 and then nothing"), LogOptions.Default).StartedAtUtc);
        Assert.Null(LogGlance.Of(folder["gone.csv"], LogOptions.Default).StartedAtUtc);
    }
}
