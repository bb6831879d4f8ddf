using Telemetry.Output;
using Telemetry.Output.Tables;

namespace Telemetry.Tests.Output;

public class ReviewResultsTests
{
    [Fact]
    public void A_result_holds_the_files_of_the_contract_and_is_the_same_twice()
    {
        using TemporaryFolder folder = new();
        var review = SampleReviews.Make(new() { RateHz = 100, Laps = 2, Cycles = 500 });
        ReviewResults.Write(review, folder["one"]);
        ReviewResults.Write(review, folder["two"]);
        string[] files = [.. Directory.EnumerateFiles(folder["one"], "*", SearchOption.AllDirectories).Select(path => Path.GetRelativePath(folder["one"], path).Replace('\\', '/')).Order(StringComparer.Ordinal)];
        Assert.Superset(
            new HashSet<string>(["summary.json", "report.html", "inspection.txt", "channels.parquet", .. ReviewTables.From(review).Select(table => $"tables/{table.Name}.csv")]),
            new HashSet<string>(files));
        Assert.Contains(files, file => file.StartsWith("plots/", StringComparison.Ordinal) && file.EndsWith(".png", StringComparison.Ordinal));
        Assert.All(
            files.Where(file => file.EndsWith(".png", StringComparison.Ordinal)),
            png => Assert.Contains(png.Replace(".png", ".svg", StringComparison.Ordinal), files));
        Assert.All(files, file => Assert.Equal(File.ReadAllBytes(folder["one", file]), File.ReadAllBytes(folder["two", file])));
    }

    [Fact]
    public void The_load_around_each_strike_is_written_on_request()
    {
        using TemporaryFolder folder = new();
        ReviewResults.Write(SampleReviews.Full, folder["short"], new() { WithPlots = false });
        Assert.False(File.Exists(folder["short", "tables", "strike_histories.csv"]));
        ReviewResults.Write(SampleReviews.Full, folder["long"], new() { WithPlots = false, WithStrikeHistories = true });
        string[] lines = File.ReadAllLines(folder["long", "tables", "strike_histories.csv"]);
        Assert.Equal(1 + SampleReviews.Full.Kerbs.Strikes.Sum(strike => strike.ToIndex - strike.FromIndex), lines.Length);
        Assert.Equal("strike [-],corner,time [s],time from the peak [ms],pushrod load [N],damper travel [mm]", lines[0]);

        // It is a result like the others: a new result may take its place.
        ReviewResults.Write(SampleReviews.Full, folder["long"], new() { WithPlots = false });
        Assert.False(File.Exists(folder["long", "tables", "strike_histories.csv"]));
    }

    [Fact]
    public void A_result_without_plots_has_its_report_all_the_same()
    {
        using TemporaryFolder folder = new();
        ReviewResults.Write(SampleReviews.Withheld(new() { RateHz = 100, Laps = 1, Cycles = 50 }), folder["run"], new() { WithPlots = false });
        Assert.False(Directory.Exists(folder["run", "plots"]));
        Assert.DoesNotContain("<img", File.ReadAllText(folder["run", "report.html"]), StringComparison.Ordinal);
    }
}
