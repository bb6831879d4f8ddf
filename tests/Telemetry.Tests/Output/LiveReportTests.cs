using System.Security.Cryptography;
using System.Text;
using System.Text.Json;
using System.Text.RegularExpressions;
using Telemetry.Output.Report;
using Telemetry.Review;

namespace Telemetry.Tests.Output;

public partial class LiveReportTests
{
    private static string Page(RunReview review) => Encoding.UTF8.GetString(ReportFile.From(review, []));

    // Content Security Policy Level 3, 8.1 and 6.7.3.3: the hash is of the text between the tags, in UTF-8.
    [Fact]
    public void The_policy_permits_our_two_scripts_and_our_style_and_nothing_else()
    {
        string page = Page(SampleReviews.Full);
        string policy = System.Net.WebUtility.HtmlDecode(Policy().Match(page).Groups[1].Value);
        string[] scripts = [.. Scripts().Matches(page).Select(match => Hash(match.Groups[1].Value))];
        string styleText = Regex.Match(page, "<style>(.*?)</style>", RegexOptions.Singleline).Groups[1].Value;
        Assert.Equal(2, scripts.Length);
        Assert.Equal($"default-src 'none'; script-src {scripts[0]} {scripts[1]}; style-src {Hash(styleText)}; img-src data:; base-uri 'none'; form-action 'none'", policy);
        Assert.Single(Regex.Matches(page, "<style>"));
        // An attribute with a style or a handler would be refused by that policy.
        string markup = Regex.Replace(page, "<(script|style)[^>]*>.*?</\\1>", "", RegexOptions.Singleline);
        Assert.DoesNotMatch("<[^>]* (style|on[a-z]+)=", markup);
    }

    [Fact]
    public void Neither_script_nor_style_can_end_its_own_element()
    {
        Assert.All([ReportScript.Chart, ReportScript.Script, ReportScript.Style], text =>
        {
            Assert.DoesNotContain("</script", text, StringComparison.OrdinalIgnoreCase);
            Assert.DoesNotContain("</style", text, StringComparison.OrdinalIgnoreCase);
            Assert.DoesNotContain("<!--", text, StringComparison.Ordinal);
        });
    }

    [Theory]
    [InlineData("</script><script>alert(1)</script>")]
    [InlineData("\" onmouseover=\"x")]
    [InlineData("=HYPERLINK(1)'&<b>")]
    [InlineData("\u202Egnp.exe")]
    public void A_hostile_name_is_text_in_the_page_and_in_its_data(string name)
    {
        string page = Page(SampleReviews.Make(new() { NamePrefix = name, RunName = name, CarName = name, Laps = 2 }));
        // The data blocks and the two scripts of ours: none more.
        int expected = Regex.Count(Page(SampleReviews.Make(new() { Laps = 2 })), "<script");
        Assert.Equal(expected, Regex.Count(page, "<script", RegexOptions.IgnoreCase));
        Assert.DoesNotContain("\" onmouseover", page, StringComparison.Ordinal);
        Assert.DoesNotContain("<b>", Data(page), StringComparison.Ordinal);
        Assert.DoesNotContain('<', Data(page));
        // The name of the run is set apart, and a mark that would turn what stands beside it is shown by its number.
        string shown = System.Text.Encodings.Web.HtmlEncoder.Default.Encode(name.Replace("\u202E", "[U+202E]", StringComparison.Ordinal));
        Assert.Contains($"<h1><bdi>{shown}</bdi></h1>", page, StringComparison.Ordinal);
    }

    [Fact]
    public void The_data_of_the_figures_is_the_review_s()
    {
        RunReview review = SampleReviews.Full;
        using JsonDocument data = JsonDocument.Parse(Data(Page(review)));
        JsonElement root = data.RootElement;
        Assert.Equal(review.Run.Laps.Laps.Length, root.GetProperty("laps").GetArrayLength());
        Assert.Equal(review.Kerbs.Strikes.Length, root.GetProperty("strikes").GetArrayLength());
        Assert.Equal(review.Aero.Curve.Length, root.GetProperty("aero").GetProperty("curveSpeed").GetArrayLength());
        Assert.Equal(review.Aero.Curve[0].TotalLoadN.Value / 1000, root.GetProperty("aero").GetProperty("curveTotal")[0].GetDouble(), 1e-4);
        Assert.Equal(1 / review.Run.Clock.RateHz, root.GetProperty("step").GetDouble(), 1e-9);
    }

    [Fact]
    public void The_page_holds_the_pushrod_loads_to_within_half_the_step_that_it_states()
    {
        RunReview review = SampleReviews.Full;
        string page = Page(review);
        using JsonDocument data = JsonDocument.Parse(Data(page));
        int index = data.RootElement.GetProperty("channels").EnumerateArray().ToList().FindIndex(channel => channel.GetProperty("name").GetString() == "pushrod load FL");
        JsonElement channel = data.RootElement.GetProperty("channels")[index];
        byte[] gzip = Convert.FromBase64String(Regex.Match(page, $"id=\"samples-{index}\">([^<]*)<").Groups[1].Value);
        ushort[] codes = PackedSamples.Unpack(gzip, review.Run.Count);
        double low = channel.GetProperty("low").GetDouble(), step = channel.GetProperty("stepOf").GetDouble();
        var loads = review.Wheels.Pushrods.PushrodLoadN.FrontLeft.ToImmutableArray();
        for (int i = 0; i < loads.Length; i++)
        {
            Assert.Equal(double.IsNaN(loads[i]), codes[i] == 0);
            if (codes[i] != 0)
            {
                Assert.InRange(Math.Abs(low + ((codes[i] - 1) * step) - (loads[i] / 1000)), 0, (step / 2) + 1e-9);
            }
        }
    }

    [Fact]
    public void The_same_review_gives_the_same_page() => Assert.Equal(ReportFile.From(SampleReviews.Full, []), ReportFile.From(SampleReviews.Full, []));

    [Fact]
    public void Every_still_picture_that_has_a_living_figure_says_so_and_every_figure_has_a_name()
    {
        string page = Encoding.UTF8.GetString(ReportFile.From(SampleReviews.Full, [new("aero_load_by_speed", "Aero load at 280 km/h: 11 kN", "Alt", new byte[] { 1 }), new("aero_budget", "Budget", "Alt", new byte[] { 2 })]));
        Assert.Contains("data-still=\"aero_load_by_speed\" data-has-live=\"yes\"", page, StringComparison.Ordinal);
        Assert.Contains("data-still=\"aero_budget\">", page, StringComparison.Ordinal);
        // The living figure carries the finding of the still one.
        Assert.Contains("id=\"aero-figure\" hidden tabindex=\"0\" role=\"group\" aria-label=\"Aero load against air speed\">\n<h3>Aero load at 280 km/h: 11 kN</h3>", page, StringComparison.Ordinal);
    }

    // The sums stand in uplot/README.md; the package is the one that the npm registry gives for uplot 1.6.32.
    [Fact]
    public void The_chart_library_is_the_published_one() =>
        Assert.Equal("19C8D4C6AD88929A79F4AE49D6F7161566DFD0BA3D15CC495E974F787EB78F1F", Convert.ToHexString(SHA256.HashData(Encoding.UTF8.GetBytes(ReportScript.Chart))));

    private static string Hash(string text) => $"'sha256-{Convert.ToBase64String(SHA256.HashData(Encoding.UTF8.GetBytes(text)))}'";

    private static string Data(string page) => Regex.Match(page, "id=\"figures\">([^<]*)</script>").Groups[1].Value;

    [GeneratedRegex("http-equiv=\"Content-Security-Policy\" content=\"([^\"]*)\"")]
    private static partial Regex Policy();

    [GeneratedRegex("<script>(.*?)</script>", RegexOptions.Singleline)]
    private static partial Regex Scripts();
}
