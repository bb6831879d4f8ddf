using Telemetry.Car;

namespace Telemetry.Tests.Car;

public class NearestNameTests
{
    [Theory]
    // The classic pair of the literature (Levenshtein distance 3), and hand counts.
    [InlineData("kitten", "sitting", 3)]
    [InlineData("range", "range", 0)]
    [InlineData("Range", "range", 0)]
    [InlineData("", "abc", 3)]
    [InlineData("rnage", "range", 1)]
    [InlineData("weelbase", "wheelbase", 1)]
    public void Edits_are_counted(string from, string to, int edits)
    {
        Assert.Equal(edits, NearestName.Distance(from, to));
        Assert.Equal(edits, NearestName.Distance(to, from));
    }

    [Fact]
    public void Nothing_is_guessed_when_nothing_is_near() =>
        Assert.Null(NearestName.Of("qqqqqqqq", ["temperature", "pressure"]));

    [Fact]
    public void The_first_of_equally_near_names_is_taken() =>
        Assert.Equal("aab", NearestName.Of("aaa", ["aab", "aac"]));
}
