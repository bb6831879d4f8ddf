using System.Globalization;
using System.Text;
using Telemetry.Logs;
using static Telemetry.Tests.Logs.HostileFile;

namespace Telemetry.Tests.Logs;

/// <summary>The table of hostile files: what each must become. Values by hand; signatures by the formats' own specifications, as in FileKinds.</summary>
internal static class HostileFiles
{
    private const string Three = "time [s],x [N]\n0.0,1.5\n0.1,2.5\n0.2,3.5\n";
    private static readonly double[] ThreeTimes = [0, 0.1, 0.2];
    private static readonly double[] ThreeValues = [1.5, 2.5, 3.5];

    /// <summary>One gigabyte under TELEMETRY_FUZZ, else enough to pass every bound.</summary>
    private static long Huge => Environment.GetEnvironmentVariable("TELEMETRY_FUZZ") is null ? 64L << 20 : 1L << 30;

    public static Dictionary<string, HostileFile> All { get; } = new()
    {
        ["a PNG picture named .parquet"] = Of([0x89, .. "PNG\r\n\u001a\n"u8, 0, 0, 0, 13, .. "IHDR"u8]).Named("run.parquet").IsRefused("run.parquet", "a PNG picture", "export the run"),
        ["a PNG picture named .csv"] = Of([0x89, .. "PNG\r\n\u001a\n"u8, 0, 0, 0, 13, .. "IHDR"u8]).IsRefused("run.csv", "a PNG picture", "export the run"),
        ["a ZIP archive named .csv"] = Of([.. "PK\u0003\u0004"u8, 20, 0, 0, 0]).IsRefused("run.csv", "ZIP archive", "Unpack"),
        ["a web page in place of the file"] = Of("<!DOCTYPE html><html><body>Please log in</body></html>").IsRefused("run.csv", "web page", "Download"),
        ["an encrypted Parquet file"] = Of([.. "PARE"u8, 1, 2, 3, .. "PARE"u8]).Named("run.parquet").IsRefused("run.parquet", "encrypted", "without encryption"),
        ["a Parquet file without its start"] = Of([1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11, 12, .. "PAR1"u8]).Named("run.parquet").IsRefused("run.parquet", "start is damaged", "Copy it again"),
        ["binary named .parquet"] = Of([1, 0, 2, 0, 0, 3, 0, 9, 200, 0, 1]).Named("run.parquet").IsRefused("row 1", "does not begin as such a file", "Export"),
        ["a Parquet file named .csv"] = Of(ParquetRoundTripTests.Bytes(LogText.Read(Three))).Reads(ThreeTimes, ThreeValues),
        ["a CSV file named .parquet"] = Of(Three).Named("run.parquet").Reads(ThreeTimes, ThreeValues),
        ["a gzip bomb of zero bytes"] = Bomb(0, Huge).IsRefused("run.csv", "more than 500 times their size", "came from"),
        ["a gzip bomb of one letter"] = Bomb((byte)'a', Huge * 2).IsRefused("run.csv", "more than 500 times their size", "came from"),
        ["a gzip file cut off in its data"] = Of(Gzip(Encoding.ASCII.GetBytes(string.Concat(Enumerable.Range(0, 3000).Select(i => $"{i},{i * i}\n"))))[..2000]).IsRefused("run.csv", "stops early", "Copy it again"),
        ["a gzip file cut off in its trailer"] = Of(Gzip(Encoding.ASCII.GetBytes(Three))[..^3]).IsRefused("run.csv", "stops early", "Copy it again"),
        ["gzip in gzip"] = Of(Gzip(Gzip(Encoding.ASCII.GetBytes(Three)))).IsRefused("run.csv", "packed twice", "Unpack it once"),
        ["two gzip members, one after the other"] = Of([.. Gzip("time [s],x [N]\n0.0,1.5\n"u8.ToArray()), .. Gzip("0.1,2.5\n0.2,3.5\n"u8.ToArray())]).Reads(ThreeTimes, ThreeValues),
        ["a million columns"] = new HostileFile { Make = () => new MemorySource(Encoding.ASCII.GetBytes("time," + string.Join(',', Enumerable.Range(0, 1_000_000).Select(i => "c" + i.ToString(CultureInfo.InvariantCulture))) + "\n0" + string.Concat(Enumerable.Repeat(",1", 1_000_000)) + "\n")) }
            .IsRefused("run.csv", "columns; more than 20000 are not read", "fewer channels").Within(220),
        ["a wide header above a million blank lines"] = new HostileFile { Make = () => new MemorySource(Encoding.ASCII.GetBytes("time," + string.Join(',', Enumerable.Range(0, 15_000).Select(i => "c" + i.ToString(CultureInfo.InvariantCulture))) + "\n0" + string.Concat(Enumerable.Repeat(",1", 15_000)) + "\n" + new string('\n', 1_000_000) + "1" + string.Concat(Enumerable.Repeat(",1", 15_000)) + "\n")) }.Within(300),
        ["one line without end"] = Endless("", 'a', Huge).IsRefused("run.csv", "no line break", "line breaks"),
        ["one line without end below a header"] = Endless("time [s],x\n0,1\n", '1', Huge).IsRefused("row 3", "goes on for more than 4 MB", "line breaks"),
        ["one line without end far below"] = Endless("time [s],x\n" + string.Concat(Enumerable.Range(0, 60_000).Select(i => $"{i},1.25\n")), ' ', Huge).IsRefused("row 60002", "goes on for more than 4 MB", "damaged"),
        ["a quote that is never closed"] = Of("time [s],x,note\n0,1,a\n1,2,\"b\n2,3,c\n").IsRefused("row 3", "never closed", "Close the quote"),
        ["a quote that is not closed in a large file"] = Large("1,2,\"b\n", Encoding.ASCII.GetBytes("time [s],x,note\n0,1,a\n")).IsRefused("row 3", "not closed within 4 MB", "Close the quote").Within(40),
        ["Latin-1 names above UTF-8 texts"] = Of([.. "time [s],x [\u00b0C],note\n"u8.ToArray().Where(b => b != 0xC2), .. "0.0,1.5,\u00b5\n0.1,2.5,\u00b5\n0.2,3.5,\u00b5\n"u8]).Reads(ThreeTimes, ThreeValues).Saying("holds text"),
        ["UTF-16 behind UTF-8"] = Of([.. "time [s],x\n0,1\n"u8, .. Encoding.Unicode.GetBytes("1,2\n")]).IsRefused("row 3", "encoding changes", "Export"),
        ["two byte order marks"] = Of("\ufeff\ufeff" + Three).Reads(ThreeTimes, ThreeValues),
        ["a byte order mark below a preamble"] = Of("run: 12\n\ufeff" + Three).Reads(ThreeTimes, ThreeValues),
        ["a byte order mark inside a number"] = Of(Three.Replace("0.1", "\ufeff0.1", StringComparison.Ordinal)).IsRefused("row 3, column 'time'", "<U+FEFF>0.1", "Correct"),
        ["UTF-32"] = Of([0xFF, 0xFE, 0, 0, .. Encoding.UTF32.GetBytes(Three)]).IsRefused("run.csv", "UTF-32", "UTF-8"),
        ["names above units"] = Of("time,x\ns,N\n0.0,1.5\n0.1,2.5\n0.2,3.5\n").Reads(ThreeTimes, ThreeValues),
        ["groups above names above units"] = Of("clock,left\ntime,x\ns,N\n0.0,1.5\n0.1,2.5\n0.2,3.5\n").Reads(ThreeTimes, ThreeValues),
        ["a header again, time going on"] = Of("time [s],x [N]\n0.0,1\n0.1,2\n0.2,3\n0.3,4\ntime [s],x [N]\n5.0,5\n5.1,6\n5.2,7\n")
            .Reads([0, 0.1, 0.2, 0.3, 5.0, 5.1, 5.2], [1, 2, 3, 4, 5, 6, 7], LogFindingKind.RepeatedHeader, LogFindingKind.TimeGap),
        ["a header and its units again, decimal commas"] = Of("time;x\ns;N\n0,0;1,5\n0,1;2,5\ntime;x\ns;N\n0,2;3,5\n").Reads(ThreeTimes, ThreeValues, LogFindingKind.RepeatedHeader),
        ["a header again behind a byte order mark"] = Of("time [s],x [N]\n0.0,1.5\n0.1,2.5\n\ufefftime [s],x [N]\n0.2,3.5\n").Reads(ThreeTimes, ThreeValues, LogFindingKind.RepeatedHeader),
        ["a header again, time from the start"] = Of("time [s],x [N]\n" + string.Concat(Enumerable.Range(0, 50).Select(i => $"{i},1\n")) + "time [s],x [N]\n0,2\n1,2\n").IsRefused("row 52", "two recordings", "Cut the file above row 52"),
        ["a header again with other columns"] = Of(Three + "time [s],y [N]\n0.3,1\n").IsRefused("row 5, column 'time'", "'time [s]' is no time", "Correct"),
        ["a header again with more columns"] = Of(Three + "time [s],x [N],y\n0.3,1,2\n").IsRefused("row 5", "3 fields", "second table"),
        ["two channels of one name"] = Of("time,x,x\n0,1,2\n").IsRefused("row 1", "Columns 2 and 3 have the same name, 'x'", "name of its own"),
        ["thousands separated by commas"] = Of("time [s];x\n0.0;1,204.5\n0.1;1,205.5\n").IsRefused("row 2, column 'x'", "'1,204.5' is not a number", "thousands separators"),
        ["thousands separated by commas in some rows"] = Of("time [s];x\n0.0;204.5\n0.1;1,205.5\n").IsRefused("row 3, column 'x'", "'1,205.5' is not a number", "thousands separators"),
        ["thousands separated by blanks"] = Of("time [s],x\n0.0,1 204.5\n0.1,1205\n").IsRefused("row 2, column 'x'", "'1 204.5'", "thousands separators"),
        ["thousands separated by unseen blanks"] = Of("time [s],x\n0.0,1\u00a0204.5\n0.1,1205\n").IsRefused("row 2, column 'x'", "'1<U+00A0>204.5'", "thousands separators"),
        ["thousands separated throughout, decimal commas"] = Of("time [s];x;y\n0,0;1.204,50;1,5\n0,1;1.205,50;2,5\n").IsRefused("row 2, column 'x'", "'1.204,50' is not a number", "thousands separators"),
        ["lap times as text beside numbers"] = Of("time [s],x [N],lap time\n0.0,1.5,1'23.456\n0.1,2.5,1'23.456\n0.2,3.5,1'23.456\n").Reads(ThreeTimes, ThreeValues).Saying("holds text"),
        ["#N/A among numbers"] = Of("time [s],x\n0.0,1\n0.1,#N/A\n0.2,3\n").IsRefused("row 3, column 'x'", "'#N/A' is not a number", "log.missing"),
        ["#N/A listed as missing"] = Of("time [s],x\n0.0,1.5\n0.1,#N/A\n0.2,3.5\n").With(new() { MissingTokens = ["#N/A"] }).Reads(ThreeTimes, [1.5, double.NaN, 3.5]),
        ["a text for an error of arithmetic"] = Of("time [s],x\n0.0,1\n0.1,#DIV/0!\n").IsRefused("row 3, column 'x'", "'#DIV/0!' is not a number", "log.missing"),
        ["separators behind every row"] = Of("time [s],x [N],\n0.0,1.5,\n0.1,2.5,\n0.2,3.5,\n").Reads(ThreeTimes, ThreeValues),
        ["separators behind the data only"] = Of("time [s],x [N]\n0.0,1.5,,,\n0.1,2.5,\n0.2,3.5,,\n").Reads(ThreeTimes, ThreeValues),
        ["a value behind the last column"] = Of("time [s],x [N]\n0.0,1.5,,7\n0.1,2.5\n0.2,3.5\n").IsRefused("row 2", "4 fields", "Correct"),
        ["time of day past midnight"] = Of("time,x\n23:59:59.8,1\n23:59:59.9,2\n00:00:00.0,3\n00:00:00.1,4\n").Reads([0, 0.1, 0.2, 0.3], [1, 2, 3, 4]).Saying("passes midnight"),
        ["a wrong time of day at noon"] = Of("time,x\n" + string.Concat(Enumerable.Range(0, 40).Select(i => i == 9 ? "00:00:00.00,1\n" : $"12:00:{i:00}.00,1\n"))).Saying("").Reads(
            [.. Enumerable.Range(0, 40).Where(i => i != 9).Select(i => (double)i)], [.. Enumerable.Repeat(1.0, 39)], LogFindingKind.BackwardTime, LogFindingKind.TimeGap),
        ["summer time begins, no offset"] = Of("time,x\n2024-03-31T01:59:59,1\n2024-03-31T03:00:00,2\n2024-03-31T03:00:01,3\n").Reads([0, 3601, 3602], [1, 2, 3], LogFindingKind.TimeGap).Saying("summer time"),
        ["summer time ends, no offset"] = Of("time,x\n" + string.Concat(Enumerable.Range(0, 60).Select(i => $"2024-10-27T02:59:{i:00},1\n")) + "2024-10-27T02:00:00,1\n2024-10-27T02:00:01,1\n").IsRefused("row 62", "back by an hour", "offset"),
        ["summer time begins, with offset"] = Of("time,x\n2024-03-31T01:59:59+01:00,1\n2024-03-31T03:00:00+02:00,2\n2024-03-31T03:00:01+02:00,3\n").Reads([0, 1, 2], [1, 2, 3]),
        ["summer time ends, with offset"] = Of("time,x\n2024-10-27T02:59:59+02:00,1\n2024-10-27T02:00:00+01:00,2\n2024-10-27T02:00:01+01:00,3\n").Reads([0, 1, 2], [1, 2, 3]),
        ["dates with an offset and without"] = Of("time,x\n2024-03-01T10:00:00Z,1\n2024-03-01T10:00:01,2\n").IsRefused("row 3, column 'time'", "no time of the kind", "Correct"),
        ["a zero byte"] = Of("time [s],x\n0,1\n1,\0\n").IsRefused("row 3", "zero byte stands at byte 17", "Export"),
        ["CR alone ends lines"] = Of(Three.Replace('\n', '\r')).Reads(ThreeTimes, ThreeValues),
        ["CR among LF"] = Of("time [s],x [N]\n0.0,1.5\r0.1,2.5\n0.2,3.5\n").Reads(ThreeTimes, ThreeValues),
        ["a preamble with LF above rows with CR"] = Of("run: 12\n" + Three.Replace('\n', '\r')).Reads(ThreeTimes, ThreeValues),
        ["nothing"] = Of("").IsRefused("run.csv", "empty", "Export"),
        ["only a mark"] = Of("\ufeff").IsRefused("run.csv", "empty", "Export"),
    };

    private static HostileFile Bomb(byte sign, long length) => new HostileFile
    {
        Make = () => new MemorySource(Gzip(stream =>
        {
            byte[] block = new byte[1 << 20];
            block.AsSpan().Fill(sign);
            for (long done = 0; done < length + (8 << 20); done += block.Length)
            {
                stream.Write(block);
            }
        })),
    }.Within(100);

    private static HostileFile Large(string line, byte[] head) => new()
    {
        Make = () => new MemorySource((byte[])[.. head, .. Encoding.ASCII.GetBytes(line), .. Encoding.ASCII.GetBytes(string.Concat(Enumerable.Repeat("2,3,c\n", 3_000_000)))]),
    };
}
