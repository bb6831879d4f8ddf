using System.IO.Compression;
using System.Text;
using Telemetry.Logs;

namespace Telemetry.Tests.Logs;

/// <summary>What the CSV reader finds from the file itself. Values by hand.</summary>
public class CsvReadingTests
{
    private const string Plain = "time [s],load FL [N],speed (km/h)\n0.00,1204.5,80.1\n0.01,1210.25,80.2\n0.02,1199.75,80.4\n";

    [Theory]
    [InlineData(',')]
    [InlineData(';')]
    [InlineData('\t')]
    [InlineData('|')]
    public void Every_separator_gives_the_same_log(char separator) =>
        LogText.AssertSame(LogText.Read(Plain), LogText.Read(Plain.Replace(',', separator)));

    [Fact]
    public void Runs_of_blanks_separate_columns_of_fixed_width()
    {
        RunLog log = LogText.Read("  time   load    speed\n  0.00  1204.5    80.1\n  0.01  1210.25   80.2  \n");
        Assert.Equal([1204.5, 1210.25], log.Samples("load"));
        Assert.Equal([80.1, 80.2], log.Samples("speed"));
    }

    [Fact]
    public void Units_come_from_brackets_or_from_a_row_below_the_header()
    {
        RunLog brackets = LogText.Read(Plain);
        Assert.Equal("N", brackets.Find("load FL")!.Unit);
        Assert.Equal("km/h", brackets.Find("speed")!.Unit);
        RunLog row = LogText.Read("time,load FL,speed,gear\ns,N,km/h,\n0,1,2,3\n1,2,3,4\n");
        Assert.Equal(["N", "km/h", ""], row.Channels.Select(channel => channel.Unit));
        Assert.DoesNotContain(row.Findings, finding => finding.Kind == LogFindingKind.Note);
    }

    [Fact]
    public void Round_brackets_around_a_corner_belong_to_the_name() =>
        Assert.Equal("pushrod (FL)", LogText.Read("time [s],pushrod (FL) [N]\n0,1\n1,2\n").Channels[0].Name);

    [Theory]
    [InlineData("")]
    [InlineData("\uFEFF")]
    public void Utf16_of_either_order_is_read_with_and_without_a_mark(string mark)
    {
        RunLog expected = LogText.Read(Plain);
        LogText.AssertSame(expected, LogText.Read(Encoding.Unicode.GetBytes(mark + Plain)));
        LogText.AssertSame(expected, LogText.Read(Encoding.BigEndianUnicode.GetBytes(mark + Plain)));
        LogText.AssertSame(expected, LogText.Read(Encoding.UTF8.GetBytes(mark + Plain)));
    }

    [Fact]
    public void A_gzip_file_is_unpacked_whatever_it_is_called()
    {
        LogText.AssertSame(LogText.Read(Plain), LogText.Read(Gzip(Encoding.UTF8.GetBytes(Plain))));
        Assert.Contains("packed twice", Assert.Throws<InputError>(() => LogText.Read(Gzip(Gzip(Encoding.UTF8.GetBytes(Plain))))).Message, StringComparison.Ordinal);
    }

    [Fact]
    public void A_gzip_file_that_stops_early_is_refused()
    {
        byte[] whole = Gzip(Encoding.UTF8.GetBytes(Plain + string.Concat(Enumerable.Range(3, 5000).Select(i => $"{i / 100.0:F2},{i * 7919 % 10007},{i * 31 % 97}\n"))));
        InputError error = Assert.Throws<InputError>(() => LogText.Read(whole[..(whole.Length / 2)]));
        Assert.Contains("gzip", error.Message, StringComparison.Ordinal);

        // RFC 1952, 2.2: a file may hold several members, one after the other.
        LogText.AssertSame(LogText.Read(Plain), LogText.Read([.. Gzip(Encoding.UTF8.GetBytes(Plain[..40])), .. Gzip(Encoding.UTF8.GetBytes(Plain[40..]))]));
    }

    [Fact]
    public void A_decimal_comma_is_found_with_semicolons_and_inside_quotes()
    {
        Assert.Equal([1204.5, 3], LogText.Read("time [s];load [N]\n0,00;1204,5\n0,01;3\n").Samples("load"));
        Assert.Equal([1204.5, 3.25], LogText.Read("\"time [s]\",\"load [N]\"\n\"0,00\",\"1204,5\"\n\"0,01\",\"3,25\"\n").Samples("load"));
    }

    [Fact]
    public void A_decimal_comma_far_below_whole_numbers_is_found_too()
    {
        string text = "time [s];load [N]\n" + string.Concat(Enumerable.Range(0, 2000).Select(i => $"{i};{i}\n")) + "2000;7,5\n";
        Assert.Equal(7.5, LogText.Read(text).Samples("load")[2000]);
    }

    [Theory]
    // 'Thousands separators' would change a value by a factor of a thousand when read as decimals, so neither reading is guessed.
    [InlineData("time [s],load [N]\n0.0,1.5\n0.1,\"1,204\"\n", "1,204")]
    [InlineData("time [s],load [N]\n0.0,1.5\n0.1,\"1,204.5\"\n", "1,204.5")]
    [InlineData("time [s];load [N]\n0,0;1,5\n0,1;1.204,5\n", "1.204,5")]
    [InlineData("time [s];load [N]\n0.0;1.5\n0.1;1,204\n", "1,204")]
    public void A_thousands_separator_is_refused_with_its_row(string text, string shown)
    {
        InputFault fault = LogText.Refused(text).Faults[0];
        Assert.Equal("run.csv, row 3, column 'load'", fault.Where);
        Assert.Contains($"'{shown}'", fault.Found, StringComparison.Ordinal);
        Assert.Contains("thousands", fault.Remedy, StringComparison.Ordinal);
    }

    [Fact]
    public void Preamble_comments_and_blank_lines_are_passed_over_and_rows_keep_their_numbers()
    {
        string text = "Run,12\nTime,10:00:00\n# driver, second stint\n\ntime [s],load [N]\n0,1\n# red flag\n1,2\n2,oops\n";
        Assert.Equal("run.csv, row 9, column 'load'", LogText.Refused(text).Faults[0].Where);
        Assert.Equal([1, 2], LogText.Read(text.Replace("2,oops\n", "", StringComparison.Ordinal)).Samples("load"));
    }

    [Fact]
    public void A_header_behind_a_comment_sign_is_the_header() =>
        Assert.Equal([5, 6], LogText.Read("# time [s] load [N]\n0 5\n1 6\n").Samples("load"));

    [Fact]
    public void Blank_fields_give_each_channel_its_own_rate_and_channels_of_one_rate_share_their_times()
    {
        StringBuilder text = new("time [s],fast,slow,also slow,fast too\n");
        for (int i = 0; i < 100; i++)
        {
            text.Append(FormattableString.Invariant($"{i / 1000.0:F3},{i},{(i % 10 == 0 ? i : null)},{(i % 10 == 0 ? -i : null)},{i}\n"));
        }

        RunLog log = LogText.Read(text.ToString());
        Assert.Same(log.Find("fast")!.Time, log.Find("fast too")!.Time);
        Assert.Same(log.Find("slow")!.Time, log.Find("also slow")!.Time);
        Assert.Equal(TimeBase.Even(0, 0.01, 10), log.Find("slow")!.Time);
        Assert.Equal(TimeBase.Even(0, 0.001, 100), log.Find("fast")!.Time);
        Assert.Empty(log.Findings);
    }

    [Fact]
    public void Rows_of_one_time_that_fill_different_channels_lose_nothing()
    {
        RunLog log = LogText.Read("time [s],a,b\n0,1,\n0,,10\n1,2,\n1,,20\n2,3,\n2,,30\n");
        Assert.Equal([1, 2, 3], log.Samples("a"));
        Assert.Equal([10, 20, 30], log.Samples("b"));
    }

    [Fact]
    public void Only_the_columns_asked_for_are_read_and_faults_in_others_do_not_matter()
    {
        string text = "time [s],load [N],load [N],speed,note\n0,1,2,80,x\n1,1,2,bad,y\n2,1,2,82,z\n";
        Assert.Contains("Columns 2 and 3", LogText.Refused(text).Message, StringComparison.Ordinal);
        Assert.Contains("row 3, column 'speed'", LogText.Refused(text, new() { OnlyColumns = ["speed"] }).Message, StringComparison.Ordinal);
        Assert.Equal("x", LogText.Read("time [s],x,y\n0,1,bad\n1,2,3\n", new() { OnlyColumns = ["x"] }).Channels.Single().Name);
    }

    [Fact]
    public void A_column_of_text_is_left_out_with_a_note_and_every_mixed_column_is_told_at_once()
    {
        Assert.Contains("text", LogText.Read("time [s],x,note\n0,1,in\n1,2,out\n").Finding(LogFindingKind.Note).Message, StringComparison.Ordinal);
        InputError error = LogText.Refused("time [s],x,y,z\n0,1,2,3\n1,bad,2,3\n2,1,2,worse\n3,bad,2,3\n");
        Assert.Equal(["run.csv, row 3, column 'x'", "run.csv, row 4, column 'z'"], error.Faults.Select(fault => fault.Where));
        Assert.Contains("2 such fields", error.Faults[0].Found, StringComparison.Ordinal);
    }

    [Fact]
    public void Not_finite_numbers_become_gaps_with_the_row_of_the_first()
    {
        RunLog log = LogText.Read("time [s],x\n0,1\n1,NaN\n2,-inf\n3,4\n");
        LogFinding finding = log.Finding(LogFindingKind.NotFinite);
        Assert.Equal(("run.csv, row 3, column 'x'", 2, 1.0), (finding.Where, finding.Count, finding.FirstS));
        Assert.Equal([1, double.NaN, double.NaN, 4], log.Samples("x"));
    }

    [Fact]
    public void An_unclosed_quote_is_told_with_the_row_in_which_it_opens()
    {
        InputError error = LogText.Refused("time [s],x,note\n0,1,a\n1,2,\"b\n2,3,c\n3,4,d\n");
        Assert.Equal("run.csv, row 3", Assert.Single(error.Faults).Where);
        Assert.Contains("never closed", error.Message, StringComparison.Ordinal);
    }

    [Fact]
    public void A_row_without_a_time_is_refused_but_a_row_of_separators_is_none()
    {
        Assert.Contains("row 3, column 'time'", LogText.Refused("time [s],x\n0,1\n,2\n2,3\n").Message, StringComparison.Ordinal);
        Assert.Equal([1, 3], LogText.Read("time [s],x\n0,1\n,\n2,3\n,\n,\n").Samples("x"));
    }

    [Fact]
    public void At_most_twenty_faults_are_told_at_once()
    {
        InputError error = LogText.Refused("time [s],x\n0,1\n" + string.Concat(Enumerable.Range(1, 500).Select(i => $"{i},1,2\n")));
        Assert.InRange(error.Faults.Count, 20, 21);
        Assert.Contains("3 fields; the header in row 1 has 2", LogText.Refused("time [s],x\n0,1,2\n1,1,2\n2,1,2\n").Message, StringComparison.Ordinal);
    }

    private static byte[] Gzip(byte[] bytes)
    {
        using MemoryStream target = new();
        using (GZipStream stream = new(target, CompressionLevel.Fastest))
        {
            stream.Write(bytes);
        }

        return target.ToArray();
    }
}
