using System.Text;
using Telemetry.Output.Tables;

namespace Telemetry.Tests.Output;

public class CsvTextTests
{
    private static string Written(TableColumn[] columns, params TableCell[][] rows)
    {
        using MemoryStream stream = new();
        CsvText.Write(new ResultTable("t", "T", [.. columns], [.. rows.Select(row => System.Collections.Immutable.ImmutableArray.Create(row))]), stream);
        return Encoding.UTF8.GetString(stream.ToArray());
    }

    // RFC 4180, section 2: rules 1 (CR LF), 5 to 7 (quotes, line breaks and doubled quotes).
    [Fact]
    public void Fields_with_commas_quotes_and_line_breaks_are_quoted() => Assert.Equal(
        "a,b\r\n\"x, \"\"y\"\"\",\"one\ntwo\"\r\n",
        Written([new("a", ""), new("b", "")], ["x, \"y\"", "one\ntwo"]));

    [Fact]
    public void A_header_shows_the_unit_in_brackets() => Assert.StartsWith("peak load [N],corner\r\n", Written([new("peak load", "N"), new("corner", "")]), StringComparison.Ordinal);

    // OWASP, CSV injection: cells that begin with = + - @ tab or carriage return are run as formulas.
    [Theory]
    [InlineData("=1+1")]
    [InlineData("+1")]
    [InlineData("-1")]
    [InlineData("@SUM(A1)")]
    [InlineData("\tx")]
    [InlineData("\rx")]
    public void Text_that_a_spreadsheet_would_run_gets_an_apostrophe(string text)
    {
        string field = Written([new("a", "")], [text]).Split("\r\n", 2)[1];
        Assert.StartsWith("'", field.TrimStart('"'), StringComparison.Ordinal);
    }

    [Fact]
    public void A_column_named_like_a_formula_gets_an_apostrophe_too() =>
        Assert.DoesNotContain("\r\n=", "\r\n" + Written([new("=cmd", "")]).Replace("\"", "", StringComparison.Ordinal), StringComparison.Ordinal);

    [Fact]
    public void A_negative_number_stays_a_number() => Assert.Equal("a [N]\r\n-12.5\r\n", Written([new("a", "N")], [-12.5]));

    [Fact]
    public void A_missing_number_is_blank_and_a_negative_zero_is_plain() =>
        Assert.Equal("a [N],b [N],c [N]\r\n,,0\r\n", Written([new("a", "N"), new("b", "N"), new("c", "N")], [double.NaN, double.PositiveInfinity, -0.0]));

    [Fact]
    public void Numbers_carry_seven_digits() => Assert.Equal("a [-]\r\n1.234568\r\n", Written([new("a", "-")], [1.23456789]));
}
