using System.Globalization;
using System.Text;
using System.Text.RegularExpressions;
using Telemetry.Output;
using Telemetry.Output.Report;
using Telemetry.Review;

namespace Telemetry.Tests.Output;

public partial class ReportFileTests
{
    private static string Page(RunReview review, params ReportPicture[] pictures) => Encoding.UTF8.GetString(ReportFile.From(review, pictures));

    /// <summary>The page without the texts of script, style and licence, which are the library's own and of which <see cref="LiveReportTests"/> sees to it that nothing else is in them.</summary>
    private static string Markup(string page) => OwnText().Replace(page, "");

    [Fact]
    public void A_hostile_name_stays_text()
    {
        const string Hostile = "<script>alert(1)</script>\" onmouseover=\"x";
        string page = Page(SampleReviews.Make(new() { NamePrefix = Hostile, RunName = Hostile, CarName = Hostile, Laps = 1 }));
        Assert.DoesNotContain("<script", Markup(page), StringComparison.OrdinalIgnoreCase);
        Assert.DoesNotContain("\" onmouseover", page, StringComparison.Ordinal);
        Assert.Contains("&lt;script&gt;", page, StringComparison.Ordinal);
    }

    [Fact]
    public void A_hostile_picture_title_stays_text() =>
        Assert.DoesNotContain("\"><b>", Page(SampleReviews.Full, new ReportPicture("aero_x", "t", "a\"><b>", new byte[] { 1 })), StringComparison.Ordinal);

    [Fact]
    public void The_page_asks_for_nothing_from_outside()
    {
        string page = Markup(Page(SampleReviews.Full, new ReportPicture("aero_load", "Title", "Alt", new byte[] { 1, 2, 3 })));
        Assert.DoesNotContain("http:", page, StringComparison.OrdinalIgnoreCase);
        Assert.DoesNotContain("https:", page, StringComparison.OrdinalIgnoreCase);
        Assert.DoesNotContain("url(", page, StringComparison.OrdinalIgnoreCase);
        Assert.Contains("default-src &#x27;none&#x27;", page, StringComparison.Ordinal);
        Assert.Contains("src=\"data:image/png;base64,AQID\"", page, StringComparison.Ordinal);
    }

    [Fact]
    public void What_needs_a_person_comes_before_everything_but_the_verdicts()
    {
        string page = Page(SampleReviews.Full);
        int[] order = [.. new[] { "class=\"verdicts\"", "What needs a person", "<h2>Aero load", "<h2>Components", "<h2>Kerb strikes", "<h2>Platform", "<h2>The log", "What these numbers are not" }
            .Select(text => page.IndexOf(text, StringComparison.Ordinal))];
        Assert.DoesNotContain(-1, order);
        Assert.Equal(order.Order(), order);
    }

    [Fact]
    public void A_withheld_answer_shows_its_reason()
    {
        string page = Page(SampleReviews.Withheld(new()));
        Assert.Contains("three are the least from which an interval can be given", page, StringComparison.Ordinal);
        Assert.Contains("low-passed at 20 Hz", page, StringComparison.Ordinal);
    }

    [Fact]
    public void Every_picture_is_shown_once()
    {
        string[] names = ["aero_load_by_speed", "load_modes", "kerb_strikes_on_lap", "range_mean_matrix", "exceedance", "damage_by_lap", "power_spectra", "damper_velocity", "anything_else"];
        string page = Page(SampleReviews.Full, [.. names.Select(name => new ReportPicture(name, name, name, new byte[] { 7 }))]);
        Assert.All(names, name => Assert.Single(Regex.Matches(page, $"<img alt=\"{name}\"")));
    }

    [Fact]
    public void Each_caution_is_on_the_page()
    {
        string page = Page(SampleReviews.Full);
        Assert.All(Cautions.All, caution => Assert.Contains(System.Text.Encodings.Web.HtmlEncoder.Default.Encode(caution), page, StringComparison.Ordinal));
    }

    [Fact]
    public void Elements_close_in_the_order_in_which_they_open()
    {
        string page = Markup(Page(SampleReviews.Full, new ReportPicture("aero_load", "Title", "Alt", new byte[] { 1 })));
        Stack<string> open = [];
        foreach (Match tag in Tags().Matches(page))
        {
            string name = tag.Groups["name"].Value;
            if (name is "meta" or "img" or "link" || tag.Value.EndsWith("/>", StringComparison.Ordinal))
            {
                continue;
            }

            if (tag.Groups["end"].Length > 0)
            {
                Assert.Equal(name, open.Pop());
            }
            else
            {
                open.Push(name);
            }
        }

        Assert.Empty(open);
    }

    // WCAG 2.2, 1.4.3: 4.5:1 for text; relative luminance as defined there.
    [Theory]
    [InlineData("ink", "ground")]
    [InlineData("ink", "raised")]
    [InlineData("ink", "stop-ground")]
    [InlineData("ink", "warn-ground")]
    [InlineData("ink", "good-ground")]
    [InlineData("muted", "ground")]
    [InlineData("stop", "ground")]
    [InlineData("stop", "stop-ground")]
    [InlineData("warn", "ground")]
    [InlineData("warn", "warn-ground")]
    [InlineData("good", "ground")]
    public void Text_stands_out_from_its_ground(string text, string ground)
    {
        string[] schemes = ReportStyle.Css.Split(":root{")[1..];
        Assert.Equal(3, schemes.Length);
        Assert.All(schemes, scheme => Assert.InRange(Contrast(Colour(scheme, text), Colour(scheme, ground)), 4.5, 21));
    }

    private static string Colour(string scheme, string name) => Regex.Match(scheme, $"--{name}:#(?<hex>[0-9a-f]{{6}}|[0-9a-f]{{3}})[;}}\\s]").Groups["hex"].Value;

    private static double Contrast(string one, string two)
    {
        (double a, double b) = (Luminance(one), Luminance(two));
        return (Math.Max(a, b) + 0.05) / (Math.Min(a, b) + 0.05);
    }

    private static double Luminance(string hex)
    {
        string six = hex.Length == 3 ? string.Concat(hex.Select(digit => new string(digit, 2))) : hex;
        double Channel(int at)
        {
            double share = int.Parse(six.AsSpan(at, 2), NumberStyles.HexNumber, CultureInfo.InvariantCulture) / 255.0;
            return share <= 0.04045 ? share / 12.92 : Math.Pow((share + 0.055) / 1.055, 2.4);
        }

        return (0.2126 * Channel(0)) + (0.7152 * Channel(2)) + (0.0722 * Channel(4));
    }

    [GeneratedRegex("<script[^>]*>.*?</script>|<style>.*?</style>|<pre[^>]*>.*?</pre>", RegexOptions.Singleline)]
    private static partial Regex OwnText();

    [GeneratedRegex("<(?<end>/?)(?<name>[a-z][a-z0-9]*)[^>]*>")]
    private static partial Regex Tags();
}
