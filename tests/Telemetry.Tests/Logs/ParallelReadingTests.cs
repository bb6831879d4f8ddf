using System.Text;
using CsCheck;
using Telemetry.Logs;

namespace Telemetry.Tests.Logs;

/// <summary>The size of the parts that are parsed at the same time changes nothing, neither in a good log nor in what is told about a bad one.</summary>
public class ParallelReadingTests
{
    [Fact]
    public void Any_part_size_gives_the_same_log_or_the_same_faults() =>
        Gen.Select(Rows(), Gen.Int[1, 300], Gen.OneOf(Gen.Const("\n"), Gen.Const("\r\n"), Gen.Const("\r")), Gen.Bool).Sample(
            (rows, partBytes, lineBreak, final) =>
            {
                string text = "time [s],x,y,note" + lineBreak + string.Join(lineBreak, rows) + (final ? lineBreak : "");
                byte[] bytes = Encoding.UTF8.GetBytes(text);
                (RunLog? whole, string? wholeError) = Try(bytes, int.MaxValue);
                (RunLog? parts, string? partsError) = Try(bytes, partBytes);
                Assert.Equal(wholeError, partsError);
                if (whole is not null)
                {
                    LogText.AssertSame(whole, parts!);
                }
            },
            seed: "0N0XIzNsQ0O3",
            iter: 2000,
            threads: 1);

    /// <summary>Rows with blanks, quotes, breaks inside quotes, stray quotes, comments, blank lines, repeats and wrong widths.</summary>
    private static Gen<string[]> Rows()
    {
        Gen<string> row = Gen.Select(Gen.Int[0, 60], Gen.Int[0, 40], Gen.Int[0, 999]).Select((kind, jump, value) => kind switch
        {
            0 => $"{jump},{value},{value},\"two\nlines\"",
            1 => $"{jump},{value},{value},\"it \"\"is\"\"\"",
            2 => $"{jump},\"{value}\",{value},5\" wheel",
            3 => $"# {value}",
            4 => "",
            5 => $"{jump},{value}",
            6 => $"{jump},{value},nan,x",
            7 => $"{jump},{value},oops,x",
            8 => ",,,",
            9 => $"{jump},{value},{value},\"open",
            < 20 => $"{jump},{value},,",
            _ => $"{jump},{value},{value}.5,x",
        });
        return row.Array[1, 40].Select(rows => rows.Select((text, i) => text.Length > 0 && char.IsAsciiDigit(text[0])
            ? $"{i + (text.StartsWith("40,", StringComparison.Ordinal) ? -3 : 0)}{text[text.IndexOf(',', StringComparison.Ordinal)..]}"
            : text).ToArray());
    }

    private static (RunLog? Log, string? Error) Try(byte[] bytes, int partBytes)
    {
        try
        {
            return (LogText.Read(bytes, null, partBytes), null);
        }
        catch (InputError error)
        {
            return (null, error.Message);
        }
    }
}
