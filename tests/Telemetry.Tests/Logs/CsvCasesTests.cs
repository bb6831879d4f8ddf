using System.Globalization;
using System.Text.Json;
using Telemetry.Logs;

namespace Telemetry.Tests.Logs;

/// <summary>
/// The clauses of RFC 4180 section 2 and the kinds of damage of Data/csv/cases.json. Expected rows there come from Python's csv module;
/// where a log must not be read as leniently as that module does, the stance and its reason stand here.
/// </summary>
public class CsvCasesTests
{
    /// <summary>Files that Python splits with another quote or escape character; this reader knows RFC 4180 quotes only, and refuses what follows from others.</summary>
    private static readonly string[] OtherQuoting = ["files/single_quotes.csv", "files/backslash_escape.csv"];

    /// <summary>What is refused: the place that the message must name, and a word of the reason.</summary>
    private static readonly Dictionary<string, (string Where, string Found)> Refused = new()
    {
        // A lenient reader returns no rows for these; a run without samples is a mistake that should not pass as an empty result.
        ["files/empty_file.csv"] = ("empty_file.csv", "empty"),
        ["files/header_only.csv"] = ("row 1", "no row of data"),
        ["files/no_header.csv"] = ("row 1", "no header"),
        // Names decide which sensor is which: two of one name would be a guess. The second header row is no unit.
        ["files/duplicate_names.csv"] = ("row 1", "Columns 2 and 3"),
        ["files/header_two_rows.csv"] = ("row 1", "Columns 3 and 4"),
        // A row of another width may have lost or gained a field anywhere: no column of it can be trusted.
        ["files/row_too_short.csv"] = ("row 3", "3 fields"),
        ["files/row_too_long.csv"] = ("row 3", "5 fields"),
        ["files/row_other_separator.csv"] = ("row 3", "1 field;"),
        ["files/two_tables.csv"] = ("row 6", "2 fields"),
        // Text among numbers is an error until the options list it as a missing value.
        ["files/missing_tokens.csv"] = ("row 2, column 'd'", "'-' is not a number"),
        ["files/invalid_utf8.csv"] = ("row 2, column 'load'", "is not a number"),
        ["files/nul_bytes.csv"] = ("row 2", "zero byte"),
    };

    /// <summary>Small tables without a time column, read with this column as time.</summary>
    private static readonly Dictionary<string, (string Time, string Where, string Found)> RefusedWithTime = new()
    {
        ["files/stray_quote.csv"] = ("a", "row 2, column 'b'", "'2\"2' is not a number"),
        ["files/unclosed_quote.csv"] = ("a", "row 2", "never closed"),
        ["files/single_quotes.csv"] = ("a", "row 2, column 'a'", "No usable time"),
        ["files/backslash_escape.csv"] = ("a", "row 2, column 'a'", "No usable time"),
    };

    public static TheoryData<string> Files() => new(Cases().Select(item => item.GetProperty("file").GetString()!));

    [Theory]
    [MemberData(nameof(Files))]
    public void A_file_splits_into_the_rows_that_an_independent_reader_finds(string file)
    {
        JsonElement item = Case(file);
        if (item.GetProperty("expected_rows").ValueKind == JsonValueKind.Null || OtherQuoting.Contains(file) || item.GetProperty("bytes").GetInt32() == 0)
        {
            return;
        }

        using LogSource source = TextEncoding.ToUtf8(new MemorySource(File.ReadAllBytes(Repository.Data("csv", file))), file);
        var records = CsvRecords.Split(source.ReadRange(0, source.Length), item.GetProperty("delimiter").GetString()![0]);

        // Blank lines are no rows here, and blanks around a field never matter to a number or a name.
        Assert.Equal(Rows(item).Where(row => row.Length > 0), records.Select(record => record.Fields));
    }

    [Theory]
    [MemberData(nameof(Files))]
    public void A_log_gives_the_numbers_of_its_rows_or_says_why_not(string file)
    {
        LogOptions options = RefusedWithTime.TryGetValue(file, out var withTime) ? new() { TimeColumn = withTime.Time } : LogOptions.Default;
        string path = Repository.Data("csv", file);
        if (Refused.TryGetValue(file, out var expected) || withTime.Time is not null)
        {
            InputError error = Assert.Throws<InputError>(() => LogReader.Read(path, options));
            Assert.Contains(expected.Where ?? withTime.Where, error.Faults[0].Where, StringComparison.Ordinal);
            Assert.Contains(expected.Found ?? withTime.Found, error.Faults[0].Found, StringComparison.Ordinal);
            return;
        }

        string[][] rows = [.. Rows(Case(file)).Where(row => row.Length > 1)];
        int header = Array.FindIndex(rows, row => row[0].StartsWith("time", StringComparison.Ordinal));
        if (header < 0)
        {
            InputError error = Assert.Throws<InputError>(() => LogReader.Read(path, options));
            Assert.Matches("No column is named|no header", error.Faults[0].Found);
            return;
        }

        AssertNumbers(rows, header, LogReader.Read(path, options), file == "files/cut_off_row.csv");
    }

    [Fact]
    public void A_row_that_was_cut_off_at_the_end_is_left_out_and_reported()
    {
        RunLog log = LogReader.Read(Repository.Data("csv", "files", "cut_off_row.csv"), LogOptions.Default);
        LogFinding finding = log.Finding(LogFindingKind.CutOffRow);
        Assert.Equal("cut_off_row.csv, row 4", finding.Where);
        Assert.Equal(2, log.Channels[0].Samples.Length);
    }

    [Theory]
    [InlineData(int.MaxValue)]
    [InlineData(12)]
    public void A_short_row_with_its_line_break_is_not_cut_off_by_a_comment_below_it(int partBytes)
    {
        InputError error = Assert.Throws<InputError>(() => LogText.Read("time [s],x\n0,1\n1,2\n2\n# end"u8.ToArray(), null, partBytes));
        Assert.Equal("run.csv, row 4", Assert.Single(error.Faults).Where);
    }

    [Fact]
    public void Missing_tokens_become_gaps_once_they_are_listed()
    {
        LogOptions options = new() { MissingTokens = ["-", "n/a", "NULL", "#N/A"] };
        RunLog log = LogReader.Read(Repository.Data("csv", "files", "missing_tokens.csv"), options);
        Assert.All(log.Samples("a"), value => Assert.True(double.IsNaN(value)));
        Assert.All(log.Samples("d"), value => Assert.True(double.IsNaN(value)));

        // NaN, INF (C strtod, ISO/IEC 9899 7.22.1.3) and a number beyond the double's range are reported one column at a time.
        Assert.Equal(["column 'a'", "column 'b'", "column 'd'"], log.Findings.Where(f => f.Kind == LogFindingKind.NotFinite).Select(f => f.Where[(f.Where.LastIndexOf(", ", StringComparison.Ordinal) + 2)..]));
    }

    [Fact]
    public void Spectrum_files_split_as_their_own_results_say()
    {
        // Source of the expected rows: the JSON files of the csv-spectrum collection (Data/csv/SOURCE.md).
        string[] files = Directory.GetFiles(Repository.Data("csv", "spectrum"), "*.csv");
        Assert.Equal(11, files.Length);
        foreach (string file in files)
        {
            using JsonDocument json = JsonDocument.Parse(File.ReadAllText(Path.ChangeExtension(file, ".json")));
            var records = CsvRecords.Split(File.ReadAllBytes(file), ',');
            JsonElement[] expected = [.. json.RootElement.EnumerateArray()];
            Assert.Equal(expected.Length, records.Count - 1);
            for (int row = 0; row < expected.Length; row++)
            {
                string[] values = [.. expected[row].EnumerateObject().Select(property => property.Value.GetString()!.Trim())];
                Assert.Equal(expected[row].EnumerateObject().Select(property => property.Name), records[0].Fields);

                // newlines_crlf.csv has LF inside its quotes where its JSON says CR LF: which of the two stands in a text is not what is tested.
                Assert.Equal(values.Select(Unified), records[row + 1].Fields.Select(Unified));
            }
        }
    }

    [Theory]
    [InlineData("simple.csv", "b", 2)]
    [InlineData("simple_crlf.csv", "c", 3)]
    public void Spectrum_numbers_are_read_as_a_log(string file, string column, double expected) =>
        Assert.Equal([expected], LogReader.Read(Repository.Data("csv", "spectrum", file), new() { TimeColumn = "a" }).Samples(column));

    [Theory]
    // A text among numbers, with a quote or a line break in it, is refused with the row in which it stands.
    [InlineData("escaped_quotes.csv", "row 2, column 'b'")]
    [InlineData("quotes_and_newlines.csv", "row 2, column 'b'")]
    [InlineData("newlines.csv", "row 3, column 'a'")]
    [InlineData("utf8.csv", "row 3, column 'c'")]
    public void Spectrum_texts_are_no_numbers(string file, string where)
    {
        InputError error = Assert.Throws<InputError>(() => LogReader.Read(Repository.Data("csv", "spectrum", file), new() { TimeColumn = "a" }));
        Assert.EndsWith(where, error.Faults[0].Where, StringComparison.Ordinal);
    }

    [Fact]
    public void Number_texts_become_the_nearest_double_to_the_last_bit()
    {
        // Bits by Python's float (correctly rounded, IEEE 754 round to nearest even): Data/csv/number_text_to_double.csv.
        string[][] rows = [.. File.ReadLines(Repository.Data("csv", "number_text_to_double.csv")).Skip(1).Select(line => line.Split(','))];
        Assert.Equal(31, rows.Length);
        for (int i = 0; i < rows.Length; i++)
        {
            RunLog log = LogText.Read($"time [s],x\n0,{rows[i][0]}\n1,1\n");
            double expected = BitConverter.Int64BitsToDouble(Convert.ToInt64(rows[i][1], 16));

            // A number beyond the range is an infinity in IEEE 754; in a channel it is a gap and a finding.
            expected = double.IsFinite(expected) ? expected : double.NaN;
            Assert.Equal(BitConverter.DoubleToInt64Bits(expected), BitConverter.DoubleToInt64Bits(log.Samples("x")[0]));
        }
    }

    private static void AssertNumbers(string[][] rows, int header, RunLog log, bool isCutOff)
    {
        string[] names = rows[header];
        string[][] data = [.. rows[(header + 1)..].Where(row => TryNumber(row[0], out _) && !(isCutOff && row.Length < names.Length))];
        int channels = 0;
        for (int c = 1; c < names.Length; c++)
        {
            if (names[c].Length == 0)
            {
                continue;
            }

            LoggedChannel channel = log.Find(LogColumn.Parse(names[c]).Name)!;
            channels++;
            double[] expected = [.. data.Where(row => row[c].Length > 0).Select(row => Number(row[c]))];
            double[] times = [.. data.Where(row => row[c].Length > 0).Select(row => Number(row[0]))];
            Assert.Equal(expected, channel.Samples.ToArray());
            for (int i = 0; i < times.Length; i++)
            {
                Assert.Equal(times[i], channel.Time.At(i), 12);
            }
        }

        Assert.Equal(channels, log.Channels.Length);
    }

    private static string Unified(string text) => text.Replace("\r\n", "\n", StringComparison.Ordinal);

    private static double Number(string text) => TryNumber(text, out double value) ? value : throw new FormatException(text);

    private static bool TryNumber(string text, out double value) =>
        double.TryParse(text.Replace(',', '.'), NumberStyles.Float, CultureInfo.InvariantCulture, out value);

    private static string[][] Rows(JsonElement item) =>
        [.. item.GetProperty("expected_rows").EnumerateArray().Select(row => row.EnumerateArray().Select(field => field.GetString()!.Trim()).ToArray())];

    private static JsonElement Case(string file) => Cases().First(item => item.GetProperty("file").GetString() == file);

    private static JsonElement[] Cases()
    {
        using JsonDocument json = JsonDocument.Parse(File.ReadAllText(Repository.Data("csv", "cases.json")));
        return [.. json.RootElement.GetProperty("cases").EnumerateArray().Select(item => item.Clone())];
    }
}
