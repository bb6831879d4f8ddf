using System.Text;
using Telemetry.Logs;

namespace Telemetry.Tests.Logs;

/// <summary>Files that are no log: each is refused with place, finding and remedy, in one paragraph.</summary>
public class BadInputTests
{
    /// <summary>Made only when a test needs it: bytes in the theory's own data would be printed for every test name, which takes half a minute.</summary>
    private static readonly Dictionary<string, Func<byte[]>> Files = new()
    {
        { "empty", () => [] },
        { "only breaks", () => "\r\n\r\n\n"u8.ToArray() },
        { "header only", () => "time,x\n"u8.ToArray() },
        { "header and a cut-off row", () => "time,x\n0"u8.ToArray() },
        { "binary", () => [.. Enumerable.Range(0, 4000).Select(i => (byte)(i * 7919 >> 3))] },
        { "zero bytes", () => new byte[1000] },
        { "a million columns", () => Encoding.ASCII.GetBytes("time," + string.Join(',', Enumerable.Range(0, 1_000_000)) + "\n0" + string.Concat(Enumerable.Repeat(",1", 1_000_000)) + "\n") },
        { "many named columns", () => Encoding.ASCII.GetBytes("time," + string.Join(',', Enumerable.Range(0, 30_000).Select(i => $"c{i}")) + "\n0" + string.Concat(Enumerable.Repeat(",1", 30_000)) + "\n") },
        { "no line break", () => Encoding.ASCII.GetBytes("time,x" + new string('a', 5_000_000)) },
        { "time only", () => "time\n0\n1\n"u8.ToArray() },
        { "text only", () => "time,x\n0,a\n1,b\n"u8.ToArray() },
        { "gzip of nothing", () => [0x1F, 0x8B, 8, 0, 0, 0, 0, 0, 0, 3, 3, 0, 0, 0, 0, 0, 0, 0, 0, 0] },
        { "gzip head", () => [0x1F, 0x8B, 8] },
        { "damaged gzip", () => [0x1F, 0x8B, 8, 0, 0, 0, 0, 0, 0, 3, 255, 1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11] },
        { "Parquet magic only", () => "PAR1"u8.ToArray() },
        { "Parquet with an absurd footer", () => "PAR1PAR1\xff\xff\xff\x7fPAR1"u8.ToArray() },
        { "footer length below zero", () => [.. "PAR1PAR1"u8, 0xFF, 0xFF, 0xFF, 0xFF, .. "PAR1"u8] },
    };

    public static TheoryData<string> Names => [.. Files.Keys];

    [Theory]
    [MemberData(nameof(Names))]
    public void It_is_refused_in_one_paragraph(string name)
    {
        InputError error = Assert.Throws<InputError>(() => LogText.Read(Files[name]()));
        Assert.All(error.Faults, fault =>
        {
            Assert.StartsWith("run.csv", fault.Where, StringComparison.Ordinal);
            Assert.DoesNotContain('\n', fault.ToString());
            Assert.InRange(fault.ToString().Length, 30, 600);
            Assert.DoesNotContain("Exception", fault.ToString(), StringComparison.Ordinal);
        });
    }

    [Fact]
    public void A_log_without_any_channel_that_is_asked_for_is_told_by_its_columns()
    {
        byte[] text = "time [s],Load 1 [N],Load 2 [N]\n0,1,2\n0.001,2,3\n"u8.ToArray();
        LogOptions options = LogOptions.Default with { OnlyColumns = ["Pushrod load FL"] };
        InputError error = Assert.Throws<InputError>(() => LogText.Read(text, options));
        Assert.Equal("run.csv, row 1: No column is one that is asked for; besides time there are 'Load 1', 'Load 2'. Correct the names under [channels] in the car file, or export the run with its channels.", error.Faults[0].ToString());
        using MemoryStream parquet = new();
        ParquetLogWriter.Write(LogText.Read(text), parquet);
        error = Assert.Throws<InputError>(() => LogReader.Read(parquet.ToArray(), "run.parquet", options));
        Assert.Equal("run.parquet: No column is one that is asked for; besides time there are 'Load 1', 'Load 2'. Correct the names under [channels] in the car file, or export the run with its channels.", error.Faults[0].ToString());
    }

    [Fact]
    public void A_zero_byte_far_below_the_header_is_found_with_its_row()
    {
        byte[] bytes = Encoding.ASCII.GetBytes("time [s],x\n" + string.Concat(Enumerable.Range(0, 60_000).Select(i => $"{i},1.25\n")));
        int at = bytes.Length - 4;
        bytes[at] = 0;
        InputError error = Assert.Throws<InputError>(() => LogText.Read(bytes, null, 5000));
        Assert.Equal("run.csv, row 60001", error.Faults[0].Where);
        Assert.Contains($"byte {at}", error.Faults[0].Found, StringComparison.Ordinal);
    }

    [Fact]
    public void A_file_that_is_not_there_and_a_folder_are_told_apart()
    {
        Assert.Contains("no such file", Assert.Throws<InputError>(() => LogReader.Read("/no/such/run.csv", LogOptions.Default)).Message, StringComparison.Ordinal);
        Assert.Contains("folder", Assert.Throws<InputError>(() => LogReader.Read(Path.GetTempPath(), LogOptions.Default)).Message, StringComparison.Ordinal);
    }

    [Fact]
    public void A_file_that_may_not_be_read_is_told_so()
    {
        Assert.SkipWhen(OperatingSystem.IsWindows() || Environment.UserName == "root", "This user may read every file.");
        if (OperatingSystem.IsWindows())
        {
            return;
        }

        string path = Path.GetTempFileName();
        File.SetUnixFileMode(path, UnixFileMode.None);
        try
        {
            Assert.Contains("may not be read", Assert.Throws<InputError>(() => LogReader.Read(path, LogOptions.Default)).Message, StringComparison.Ordinal);
        }
        finally
        {
            File.Delete(path);
        }
    }

    /// <summary>Every kind of damage in Data/csv/robustness_kinds.csv (VLDB 2023 survey of CSV readers), made from one good log: same numbers, or refused.</summary>
    [Fact]
    public void Every_kind_of_damage_of_a_survey_is_read_right_or_refused()
    {
        const string good = "time [s],a [N],b [N]\n0.00,1.5,2.5\n0.01,3.5,4.5\n0.02,5.5,6.5\n";
        Dictionary<string, (string? Text, bool IsRead)> damaged = new()
        {
            ["source"] = (good, true),
            ["file_no_trailing_newline"] = (good.TrimEnd(), true),
            ["file_double_trailing_newline"] = (good + "\n", true),
            ["file_escape_char_0x00"] = (good.Replace("3.5", "\0\"3.5", StringComparison.Ordinal), false),
            ["file_escape_char_0x5C"] = (good.Replace("3.5", "\\\"3.5", StringComparison.Ordinal), false),
            ["file_field_delimiter_0x20"] = (good.Replace(" [", "[", StringComparison.Ordinal).Replace(',', ' '), true),
            ["file_field_delimiter_0x2C_0x20"] = (good.Replace(",", ", ", StringComparison.Ordinal), true),
            ["file_field_delimiter_0x3B"] = (good.Replace(',', ';'), true),
            ["file_field_delimiter_0x9"] = (good.Replace(',', '\t'), true),
            ["file_header_multirow_2"] = (good.Replace("0.00", "s,N,N\n0.00", StringComparison.Ordinal), true),
            ["file_header_multirow_3"] = (good.Replace("0.00", "s,N,N\nclock,left,right\n0.00", StringComparison.Ordinal), true),
            ["file_header_only"] = ("time [s],a [N],b [N]\n", false),
            ["file_multitable_less"] = (good + "\nlap,time\n1,84.2\n", false),
            ["file_multitable_more"] = (good + "\nlap,time,a,b\n1,84.2,1,2\n", false),
            ["file_multitable_same"] = (good + "\nlap,time,a\n1,84.2,1\n", false),
            ["file_no_header"] = (good[(good.IndexOf('\n', StringComparison.Ordinal) + 1)..], false),
            ["file_no_payload"] = ("", false),
            ["file_one_data_row"] = (good[..good.IndexOf("0.01", StringComparison.Ordinal)], true),
            ["file_preamble"] = ("run: 12\ndate: 2024-03-01\n\n" + good, true),
            ["file_quotation_char_0x27"] = (good.Replace("3.5", "'3.5'", StringComparison.Ordinal), false),
            ["file_record_delimiter_0xA"] = (good, true),
            ["file_record_delimiter_0xD"] = (good.Replace('\n', '\r'), true),
            ["row_less_sep_rowN_colN"] = (good.Replace("3.5,", "3.5", StringComparison.Ordinal), false),
            ["row_more_sep_rowN_colN"] = (good.Replace("3.5", "3,.5", StringComparison.Ordinal), false),
            ["row_extra_quoteN_colN"] = (good.Replace("3.5", "3\"5", StringComparison.Ordinal), false),
            ["row_field_delimiter_N_0xNN"] = (good.Replace("0.01,3.5,4.5", "0.01;3.5;4.5", StringComparison.Ordinal), false),
        };
        string[] kinds = [.. File.ReadLines(Repository.Data("csv", "robustness_kinds.csv")).Skip(1)];
        Assert.Equal(kinds.Order(StringComparer.Ordinal), damaged.Keys.Order(StringComparer.Ordinal));
        RunLog expected = LogText.Read(good);
        foreach (string kind in kinds)
        {
            (string? text, bool isRead) = damaged[kind];
            if (!isRead)
            {
                Assert.Throws<InputError>(() => LogText.Read(text!));
                continue;
            }

            RunLog log = LogText.Read(text!);
            int rows = kind == "file_one_data_row" ? 1 : 3;
            Assert.Equal(expected.Samples("a")[..rows], log.Samples("a"));
            Assert.Equal(expected.Samples("b")[..rows], log.Samples("b"));
            Assert.Equal("N", log.Find("a")!.Unit);
        }
    }
}
