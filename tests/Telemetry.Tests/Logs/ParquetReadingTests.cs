using System.Globalization;
using System.Text.Json;
using Telemetry.Logs;

namespace Telemetry.Tests.Logs;

/// <summary>Parquet files of other writers, against the values that two independent readers found (Data/parquet, expected.json).</summary>
public class ParquetReadingTests
{
    private static readonly string[] LogFiles =
        ["plain_uncompressed", "snappy_row_groups", "gzip", "zstd_v2", "lz4_raw", "column_metadata", "mixed_types_nulls"];

    public static TheoryData<string> Logs() => new(LogFiles);

    [Theory]
    [MemberData(nameof(Logs))]
    public void A_log_of_any_codec_and_type_has_the_exact_values(string name)
    {
        using JsonDocument json = JsonDocument.Parse(File.ReadAllText(Repository.Data("parquet", "logs", "expected.json")));
        JsonElement file = json.RootElement.GetProperty("files").GetProperty(name + ".parquet");
        int rows = file.GetProperty("rows").GetInt32();
        RunLog log = LogReader.Read(Repository.Data("parquet", "logs", name + ".parquet"), LogOptions.Default);
        int compared = 0;
        foreach (JsonProperty column in file.GetProperty("columns").EnumerateObject())
        {
            if (column.Name == "time_s" || column.Value.GetProperty("type").GetString() is "VARCHAR" or "TIMESTAMP")
            {
                continue;
            }

            LoggedChannel channel = log.Find(column.Name)!;
            Assert.Equal(rows - column.Value.GetProperty("nulls").GetInt32(), channel.Samples.Length);
            if (column.Value.TryGetProperty("sum", out JsonElement sum) && sum.ValueKind == JsonValueKind.Number)
            {
                // The values are exact in binary, so that the sum is too, in any order.
                Assert.Equal(sum.GetDouble(), channel.Samples.Sum());
                Assert.Equal(Number(column.Value.GetProperty("first")), channel.Samples[0]);
                compared++;
            }
        }

        Assert.True(compared >= 5);

        // The formula that made the files: time = i * 0.0078125 (expected.json, 'formula').
        Assert.Equal(0.0078125, log.Channels[0].Time.StepS);
        Assert.True(log.Channels[0].Time.IsEven);
    }

    [Fact]
    public void The_formula_of_the_log_files_holds_for_every_sample()
    {
        RunLog log = LogReader.Read(Repository.Data("parquet", "logs", "snappy_row_groups.parquet"), LogOptions.Default);
        for (long i = 0; i < 5000; i++)
        {
            Assert.Equal(20 + ((i * 37 % 512) / 16.0), log.Find("speed_mps")!.Samples[(int)i]);
            Assert.Equal(((i * 7919 % 4096) - 2048) * 0.5, log.Find("pushrod_fl_n")!.Samples[(int)i]);
            Assert.Equal(i * 31 % 97 / 128.0, log.Find("damper_fl_mm")!.Samples[(int)i]);
        }
    }

    [Fact]
    public void Nulls_give_a_channel_its_own_rate_and_nan_is_a_gap_that_is_told()
    {
        RunLog log = LogReader.Read(Repository.Data("parquet", "logs", "mixed_types_nulls.parquet"), LogOptions.Default);
        Assert.Equal(TimeBase.Even(0, 5 * 0.0078125, 200), log.Find("slow_n")!.Time);
        Assert.True(log.Find("doubtful_n")!.Samples.Count(double.IsNaN) >= 143);
        Assert.Equal(LogFindingKind.NotFinite, log.Finding(LogFindingKind.NotFinite).Kind);
        Assert.Equal([1, 0, 1, 0], log.Samples("brake")[..4]);
        Assert.Equal(2, log.Findings.Count(finding => finding.Kind == LogFindingKind.Note));
    }

    [Fact]
    public void A_time_stamp_column_serves_as_time()
    {
        RunLog log = LogReader.Read(Repository.Data("parquet", "logs", "mixed_types_nulls.parquet"), new() { TimeColumn = "stamp" });
        Assert.Equal(new DateTimeOffset(2024, 3, 1, 10, 0, 0, TimeSpan.Zero), log.StartedAtUtc);
        Assert.True(log.Channels[0].Time.IsEven);

        // Last stamp of 1000 in expected.json: 10:00:07.804188, whole microseconds.
        Assert.Equal(7.804188 / 999, log.Channels[0].Time.StepS, 12);
    }

    [Fact]
    public void A_file_without_rows_is_refused() =>
        Assert.Contains("no rows", Assert.Throws<InputError>(() => LogReader.Read(Repository.Data("parquet", "logs", "empty_rows.parquet"), LogOptions.Default)).Message, StringComparison.Ordinal);

    public static TheoryData<string> Foreign() => new(
        Directory.GetFiles(Repository.Data("parquet", "data"), "*.parquet").Select(path => Path.GetFileName(path)!).Order(StringComparer.Ordinal));

    /// <summary>Files with a column that the Parquet library (6.1.0) cannot decode: a dictionary of one entry in a version 2 page, and run-length booleans.</summary>
    private static readonly Dictionary<string, string> NotDecoded = new()
    {
        ["datapage_v2.snappy.parquet"] = "b",
        ["rle_boolean_encoding.parquet"] = "datatype_boolean",
    };

    [Theory]
    [MemberData(nameof(Foreign))]
    public void Number_columns_of_the_conformance_files_have_the_sums_of_other_readers(string name)
    {
        using JsonDocument json = JsonDocument.Parse(File.ReadAllText(Repository.Data("parquet", "expected.json")));
        JsonElement file = json.RootElement.GetProperty("files").GetProperty("data/" + name);
        string path = Repository.Data("parquet", "data", name);
        if (file.GetProperty("rows").GetInt32() == 0)
        {
            Assert.Throws<InputError>(() => LogReader.Read(path, new() { TimeColumn = "column1" }));
            return;
        }

        if (NotDecoded.TryGetValue(name, out string? column1))
        {
            // A column that cannot be decoded is refused by name and never read as something else.
            Assert.Throws<InputError>(() => LogReader.Read(path, new() { TimeColumn = column1 }));
            return;
        }

        using MemorySource source = new(File.ReadAllBytes(path));
        Dictionary<string, double[]> numbers = ParquetLogReader.ReadNumbers(source);
        foreach (JsonProperty column in file.GetProperty("columns_summary").EnumerateObject())
        {
            if (!numbers.TryGetValue(column.Name, out double[]? values) || !column.Value.TryGetProperty("sum", out JsonElement sum) || sum.ValueKind == JsonValueKind.Null)
            {
                continue;
            }

            double[] present = [.. values.Where(value => BitConverter.DoubleToInt64Bits(value) != BitConverter.DoubleToInt64Bits(CsvPartParser.Blank))];
            Assert.Equal(column.Value.GetProperty("non_null").GetInt32(), present.Length);

            // Sums of doubles depend on the order in the last digits; the integer ones are exact.
            double expected = Number(sum);
            Assert.Equal(expected, present.Sum(), Math.Abs(expected) * 1e-14);
        }
    }

    [Fact]
    public void A_column_of_the_conformance_files_has_its_published_values_row_by_row()
    {
        // delta_encoding_optional_column_expect.csv comes with the conformance files.
        using MemorySource source = new(File.ReadAllBytes(Repository.Data("parquet", "data", "delta_encoding_optional_column.parquet")));
        Dictionary<string, double[]> numbers = ParquetLogReader.ReadNumbers(source);
        string[][] rows = [.. File.ReadLines(Repository.Data("parquet", "data", "delta_encoding_optional_column_expect.csv")).Select(line => line.Split(','))];
        int compared = 0;
        for (int c = 0; c < rows[0].Length; c++)
        {
            if (!numbers.TryGetValue(rows[0][c].Trim('"'), out double[]? values))
            {
                continue;
            }

            for (int i = 0; i < values.Length; i++)
            {
                string text = rows[i + 1][c].Trim('"');
                Assert.Equal(text.Length == 0 ? double.NaN : double.Parse(text, CultureInfo.InvariantCulture), values[i]);
                compared++;
            }
        }

        Assert.True(compared >= 800);
    }

    [Theory]
    [InlineData("ARROW-RS-GH-6229-LEVELS.parquet")]
    [InlineData("PARQUET-1481.parquet")]
    [InlineData("ARROW-GH-43605.parquet")]
    public void Damaged_files_of_the_conformance_set_are_refused(string name) =>
        Assert.Throws<InputError>(() => LogReader.Read(Repository.Data("parquet", "bad_data", name), LogOptions.Default));

    private static double Number(JsonElement value) => value.ValueKind == JsonValueKind.String
        ? double.Parse(value.GetString()!, CultureInfo.InvariantCulture)
        : value.ValueKind is JsonValueKind.True ? 1 : value.ValueKind is JsonValueKind.False ? 0 : value.GetDouble();
}
