using System.Collections.Immutable;
using System.Text;
using System.Text.Json;
using Json.Schema;
using Telemetry.Output;
using Telemetry.Output.Days;

namespace Telemetry.Tests.Output.Days;

public class DayResultTests
{
    private const string Hostile = "<script>alert(1)</script>\"'&=1+1\u202e";

    private static DayResult Of(params DayRun[] runs) => DayResult.From(runs, new Dictionary<string, string>());

    private static string Page(DayResult day) => Encoding.UTF8.GetString(DayPage.From(day, "1.2.3"));

    [Fact]
    public void Aero_is_compared_at_a_speed_that_most_curves_cover()
    {
        DayResult day = Of(
            SampleDays.Run(1, "a", 1, SampleDays.Headline(200, 240, 230)),
            SampleDays.Run(2, "b", 2, SampleDays.Headline(200, 240, 220)),
            SampleDays.Run(3, "c", 3, SampleDays.Headline(210, 225, 215)),
            SampleDays.Run(4, "d", 4, SampleDays.Headline() with { Aero = [], AeroWithheldBecause = "No." }));
        Assert.Equal(220, day.SpeedKmh);
        // By hand: lift area 1.2 m2 at 220 km/h on the straight line between two points; load = 1.2 x 1.225 / 2 x (220 / 3.6)^2 N.
        DayTrend front = day.Trends.Single(trend => trend.Name == "aero_front_load");
        Assert.Equal([1, 2, 3], front.Series.Single().Points.Select(point => point.Run));
        Assert.All(front.Series.Single().Points, point => Assert.Equal(1.2 * 1.225 / 2 * Math.Pow(220 / 3.6, 2) / 1000, point.Value, 5));
        Assert.All(front.Series.Single().Points, point => Assert.Equal(1.1 * 1.225 / 2 * Math.Pow(220 / 3.6, 2) / 1000, point.Low95!.Value, 5));
    }

    [Fact]
    public void A_peak_has_the_interval_of_its_standard_uncertainty()
    {
        DayPoint point = Of(SampleDays.Run(1, "a")).Trends.Single(trend => trend.Name == "peak_load").Series.Single().Points.Single();
        // 1.96 standard uncertainties of a normal distribution, by hand: 12.345 - 0.196 kN.
        Assert.Equal((12.345, 12.149, 12.541), (point.Value, point.Low95, point.High95));
    }

    [Fact]
    public void A_day_without_any_answer_has_no_trends()
    {
        Assert.Empty(Of(SampleDays.Run(1, "a", error: "No.")).Trends);
        Assert.Empty(Of().Runs);
        Assert.Contains("0 runs", Page(Of()), StringComparison.Ordinal);
    }

    [Fact]
    public void Changes_are_told_between_runs_that_follow_each_other_in_time()
    {
        string one = "name = \"A\"\n[setup]\nride_height_front = \"30 mm\"\n", two = one.Replace("30 mm", "32 mm", StringComparison.Ordinal), three = "# new words only\n" + two;
        Dictionary<string, string> texts = new() { ["1"] = one, ["2"] = two, ["3"] = three };
        DayResult day = DayResult.From(
            [SampleDays.Run(4, "d", 4, car: "3"), SampleDays.Run(1, "a", 1, car: "1"), SampleDays.Run(3, "c", 3, car: "2"), SampleDays.Run(2, "b", 2, car: "1")], texts);
        Assert.Equal([(2, 3), (3, 4)], day.Changes.Select(change => (change.FromRun, change.ToRun)));
        Assert.Equal(("setup.ride_height_front", "30 mm", "32 mm"), (day.Changes[0].Fields.Single().Field, day.Changes[0].Fields.Single().From, day.Changes[0].Fields.Single().To));
        Assert.Empty(day.Changes[1].Fields);
        Assert.Contains("Only comments or layout", Page(day), StringComparison.Ordinal);
    }

    [Fact]
    public void Hostile_names_stay_text_and_links_stay_in_the_folder()
    {
        DayRun run = SampleDays.Run(1, Hostile, headline: SampleDays.Headline(part: Hostile) with { Car = Hostile });
        string page = Page(Of(run with { Folder = "a b#c?d%2f" }, SampleDays.Run(2, Hostile, error: Hostile)));
        Assert.DoesNotContain("<script", page, StringComparison.Ordinal);
        Assert.Contains("href=\"./a%20b%23c%3Fd%252f/report.html\"", page, StringComparison.Ordinal);
        Assert.Contains("default-src &#x27;none&#x27;", page, StringComparison.Ordinal);
        foreach (System.Text.RegularExpressions.Match attribute in System.Text.RegularExpressions.Regex.Matches(page, "(?:href|src)=\"([^\"]*)\""))
        {
            Assert.StartsWith("./", attribute.Groups[1].Value, StringComparison.Ordinal);
        }
    }

    [Fact]
    public void A_failed_log_stands_on_the_page_with_its_reason_and_the_others_with_their_links()
    {
        string page = Page(Of(SampleDays.Run(1, "good.csv", 1), SampleDays.Run(2, "bad.csv", 2, error: "bad.csv, row 3: no number. Mend it.")));
        Assert.Contains("Run 2, bad.csv: not analysed.", page, StringComparison.Ordinal);
        Assert.Contains("bad.csv, row 3: no number. Mend it.", page, StringComparison.Ordinal);
        Assert.Contains("./good.csv/report.html", page, StringComparison.Ordinal);
        Assert.DoesNotContain("./bad.csv/report.html", page, StringComparison.Ordinal);
    }

    [Fact]
    public void A_day_fulfils_its_schema_and_reads_back()
    {
        using TemporaryFolder folder = new();
        Dictionary<string, string> texts = new() { [new('1', 64)] = "name = \"A\"", [new('2', 64)] = "name = \"B\"" };
        DayResult day = DayResult.From(
        [
            SampleDays.Run(1, "a", 1, car: new('1', 64)), SampleDays.Run(2, Hostile, 2, error: "No.", car: new('2', 64)),
            SampleDays.Run(3, "c", 3, DayHeadlines.Of(SummaryFile.From(SampleReviews.Full))), SampleDays.Run(4, "d", 4, DayHeadlines.Of(SummaryFile.From(SampleReviews.Withheld(new())))),
        ], texts);
        byte[] json = DayFile.ToJson(day, "1.2.3");
        using JsonDocument document = JsonDocument.Parse(json);
        EvaluationResults results = JsonSchema.FromText(DayFile.Schema).Evaluate(document.RootElement, new EvaluationOptions { OutputFormat = OutputFormat.List });
        Assert.True(results.IsValid, string.Join("\n", (results.Details ?? []).Where(d => d.Errors is not null).Select(d => $"{d.InstanceLocation}: {string.Join("; ", d.Errors!.Values)}")));
        File.WriteAllBytes(folder["day.json"], json);
        Assert.Equal(json, DayFile.ToJson(DayResult.From(DayFile.ReadRuns(folder.Root), texts), "1.2.3"));
    }

    [Theory]
    [InlineData("{", "line 1")]
    [InlineData("{}", "no record")]
    [InlineData("null", "form 0")]
    public void A_day_that_is_none_is_bad_input(string text, string said)
    {
        using TemporaryFolder folder = new();
        folder.Write("day.json", text);
        Assert.Contains(said, Assert.Throws<InputError>(() => DayFile.ReadRuns(folder.Root)).Message, StringComparison.Ordinal);
    }

    [Fact]
    public void A_log_that_was_copied_again_takes_the_place_of_its_failed_copy()
    {
        ImmutableArray<DayRun> runs = [SampleDays.Run(1, "a.csv", error: "Cut off."), SampleDays.Run(2, "b.csv")];
        Assert.Equal([("b.csv", true), ("a.csv", true)], DayResults.With(runs, SampleDays.Run(3, "a.csv")).Select(run => (run.Log, run.IsDone)));
        // Another log of the same name that was analysed stays: a logger may start its count anew.
        Assert.Equal(3, DayResults.With(runs, SampleDays.Run(4, "b.csv")).Length);
    }

    [Fact]
    public void A_folder_with_other_things_in_it_is_left_alone()
    {
        using TemporaryFolder folder = new();
        folder.Write("mine/notes.txt", "x");
        Assert.Throws<OutputError>(() => DayResults.RequireUsable(folder["mine"]));
        DayResults.RequireUsable(folder["new"]);
        // A day that was ended before its first run was entered has a run's folder and no day.json.
        folder.Write("begun/run7/summary.json", "{}");
        DayResults.RequireUsable(folder["begun"]);
    }

    [Fact]
    public void The_sheet_fits_a_terminal_and_leads_with_what_needs_a_person()
    {
        ImmutableArray<SheetLine> lines = DaySheet.From(Of(SampleDays.Run(1, "a", 1), SampleDays.Run(2, Hostile, 2, error: new string('x', 300)), SampleDays.Run(3, "c", 3, SampleDays.Headline() with { Strikes = null, Aero = [], Life = [] })));
        Assert.All(lines, line => Assert.InRange(line.Text.Length, 0, 80));
        Assert.StartsWith("FAILED", lines[1].Text, StringComparison.Ordinal);
        Assert.Contains(lines, line => line.Text.StartsWith("NOW  run 3: Inspect PR-1.", StringComparison.Ordinal));
    }
}
