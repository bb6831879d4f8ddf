using System.Text.Json;
using System.Text.Json.Nodes;
using Json.Schema;
using Telemetry.Output;
using Telemetry.Review;

namespace Telemetry.Tests.Output;

public class SummaryFileTests
{
    public static TheoryData<string> Reviews => ["full", "withheld", "hostile"];

    private static RunReview Review(string name) => name switch
    {
        "full" => SampleReviews.Full,
        "withheld" => SampleReviews.Withheld(new()),
        _ => SampleReviews.Make(new() { NamePrefix = "\"</script>\u0000\ud83c\udfc1", RunName = "../../run\n7", Laps = 1 }),
    };

    [Theory]
    [MemberData(nameof(Reviews))]
    public void A_summary_fulfils_its_schema(string name)
    {
        JsonSchema schema = JsonSchema.FromText(SummaryFile.Schema);
        using JsonDocument document = JsonDocument.Parse(SummaryFile.ToJson(SummaryFile.From(Review(name))));
        EvaluationResults results = schema.Evaluate(document.RootElement, new EvaluationOptions { OutputFormat = OutputFormat.List });
        Assert.True(results.IsValid, string.Join("\n", (results.Details ?? []).Where(d => d.Errors is not null).Select(d => $"{d.InstanceLocation}: {string.Join("; ", d.Errors!.Values)}")));
    }

    [Fact]
    public void The_schema_refuses_a_headline_beside_a_reason_to_withhold_it()
    {
        JsonNode summary = JsonNode.Parse(SummaryFile.ToJson(SummaryFile.From(SampleReviews.Full)))!;
        summary["aero"]!["withheld_because"] = "No.";
        using JsonDocument document = JsonDocument.Parse(summary.ToJsonString());
        Assert.False(JsonSchema.FromText(SummaryFile.Schema).Evaluate(document.RootElement).IsValid);
    }

    [Theory]
    [InlineData("health.verdict")]
    [InlineData("health.findings.0.channel")]
    [InlineData("health.findings.0.kind")]
    [InlineData("health.findings.0.message")]
    [InlineData("aero.reference_speed_kmh")]
    [InlineData("aero.front.cla_m2.value")]
    [InlineData("aero.rear.cla_m2.low95")]
    [InlineData("aero.total.cla_m2.high95")]
    [InlineData("aero.front.load_n.value")]
    [InlineData("aero.rear.load_n.low95")]
    [InlineData("aero.total.load_n.high95")]
    [InlineData("aero.balance_front_pct.value")]
    [InlineData("aero.passes")]
    [InlineData("kerbs.strikes")]
    [InlineData("kerbs.exceedances")]
    [InlineData("components.0.id")]
    [InlineData("components.0.peak_compression_n")]
    [InlineData("components.0.peak_tension_n")]
    [InlineData("components.0.damage_run")]
    [InlineData("components.0.life_used_pct")]
    [InlineData("components.0.verdict")]
    public void A_key_that_other_programs_rely_on_is_there(string path)
    {
        JsonNode? node = JsonNode.Parse(SummaryFile.ToJson(SummaryFile.From(SampleReviews.Full)));
        foreach (string part in path.Split('.'))
        {
            node = int.TryParse(part, out int index) ? node![index] : node![part];
        }

        Assert.NotNull(node);
    }

    [Fact]
    public void A_withheld_headline_is_null_with_its_reason()
    {
        JsonNode aero = JsonNode.Parse(SummaryFile.ToJson(SummaryFile.From(SampleReviews.Withheld(new()))))!["aero"]!;
        Assert.Null(aero["front"]!["cla_m2"]);
        Assert.Null(aero["total"]!["load_n"]);
        Assert.Null(aero["balance_front_pct"]);
        Assert.StartsWith("Two straight passes", aero["withheld_because"]!.GetValue<string>(), StringComparison.Ordinal);
    }

    [Fact]
    public void Withheld_strikes_are_null_and_not_none()
    {
        JsonNode kerbs = JsonNode.Parse(SummaryFile.ToJson(SummaryFile.From(SampleReviews.Withheld(new()))))!["kerbs"]!;
        Assert.Null(kerbs["strikes"]);
        Assert.NotNull(kerbs["withheld_because"]);
    }

    [Fact]
    public void Numbers_carry_the_unit_that_their_key_names()
    {
        RunReview review = SampleReviews.Full;
        Summary summary = SummaryFile.From(review);
        Assert.Equal(250, summary.Aero.ReferenceSpeedKmh);
        Assert.Equal(review.Aero.AtReference!.TotalLoadN.Value, summary.Aero.Total.LoadN!.Value!.Value, review.Aero.AtReference.TotalLoadN.Value * 1e-5);
        Assert.Equal(review.Platform.BySpeed[0].FrontRideHeightM.Value * 1000, summary.Platform.BySpeed[0].FrontRideHeightMm.Value!.Value, 3);
        Assert.Equal(review.Platform.BySpeed[0].RakeRad.Value * 180 / Math.PI, summary.Platform.BySpeed[0].RakeDeg.Value!.Value, 5);
        Assert.Equal(1.2 * 180 / Math.PI, summary.Aero.Wind.FromDeg!.Value!.Value, 3);
    }

    [Fact]
    public void The_same_review_gives_the_same_bytes() =>
        Assert.Equal(SummaryFile.ToJson(SummaryFile.From(SampleReviews.Make(new()))), SummaryFile.ToJson(SummaryFile.From(SampleReviews.Make(new()))));

    [Fact]
    public void A_summary_reads_back_as_it_was()
    {
        using TemporaryFolder folder = new();
        byte[] json = SummaryFile.ToJson(SummaryFile.From(SampleReviews.Full));
        File.WriteAllBytes(folder["summary.json"], json);
        Assert.Equal(json, SummaryFile.ToJson(SummaryFile.Read(folder["summary.json"])));
    }

    [Theory]
    [InlineData("")]
    [InlineData("{")]
    [InlineData("null")]
    [InlineData("{\"format_version\": 1}")]
    [InlineData("[1,2]")]
    public void A_file_that_is_no_summary_is_an_input_error(string text)
    {
        using TemporaryFolder folder = new();
        InputError error = Assert.Throws<InputError>(() => SummaryFile.Read(folder.Write("summary.json", text)));
        Assert.Contains("summary.json", error.Message, StringComparison.Ordinal);
    }

    [Fact]
    public void A_summary_of_a_newer_form_is_refused_by_name()
    {
        using TemporaryFolder folder = new();
        JsonNode summary = JsonNode.Parse(SummaryFile.ToJson(SummaryFile.From(SampleReviews.Full)))!;
        summary["format_version"] = 2;
        InputError error = Assert.Throws<InputError>(() => SummaryFile.Read(folder.Write("summary.json", summary.ToJsonString())));
        Assert.Contains("form 2", error.Message, StringComparison.Ordinal);
    }
}
