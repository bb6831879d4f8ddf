namespace Telemetry.BrowserTests;

/// <summary>Names come from files that anybody may have written: they are shown and do nothing.</summary>
public class HostileNameTests
{
    private readonly Browser browser;

    private readonly SamplePages pages;

    public HostileNameTests(Browser browser, SamplePages pages)
    {
        browser.Require();
        (this.browser, this.pages) = (browser, pages);
    }

    public static TheoryData<SamplePage> Harmful => [SamplePage.Hostile, SamplePage.HostileComparison, SamplePage.Day];

    [Theory]
    [MemberData(nameof(Harmful))]
    public async Task A_name_is_shown_as_text_and_does_not_run(SamplePage page)
    {
        await using OpenPage opened = await browser.OpenAsync(pages[page]);
        Assert.False(await opened.Page.EvaluateAsync<bool>("'ran' in window"), "a name ran as a script");
        Assert.Equal(0, await opened.Page.Locator("[onerror],[onmouseover],img[src='x']").CountAsync());
        string text = await opened.TextAsync();
        Assert.Contains("=HYPERLINK(\"x\")<script>window.ran=1</script>\"><img src=x onerror=\"window.ran=1\">'&amp;", text, StringComparison.Ordinal);
        if (page != SamplePage.Day)
        {
            // A day is titled by its date.
            Assert.Contains("<script>", await opened.Page.TitleAsync(), StringComparison.Ordinal);
        }

        opened.IsQuiet();
    }

    [Fact]
    public async Task Run_car_part_and_channel_are_each_shown_whole()
    {
        await using OpenPage opened = await browser.OpenAsync(pages[SamplePage.Hostile]);
        string text = (await opened.TextAsync()).ReplaceLineEndings(" ");
        // What follows the name in this run: file name, car name, a part past its limit, the cell whose zero drifted.
        Assert.All(["rough", "Demo single-seater, rough run", "PR-RR-008", "Pushrod load FR"], name =>
            Assert.Matches($"window\\.ran=1\">'&amp;.{{0,8}}gnp\\.run{System.Text.RegularExpressions.Regex.Escape(name)}", text));
    }

    // Unicode Standard Annex 9, 2.2: an override turns round all that follows it in the paragraph, figures and units of ours too.
    [Theory]
    [MemberData(nameof(Harmful))]
    public async Task A_mark_of_writing_direction_is_shown_and_turns_nothing_round(SamplePage page)
    {
        await using OpenPage opened = await browser.OpenAsync(pages[page]);
        string text = await opened.TextAsync() + await opened.Page.TitleAsync();
        Assert.DoesNotContain(text, mark => mark is >= '\u202A' and <= '\u202E' or >= '\u2066' and <= '\u2069' or '\u200E' or '\u200F' or '\u061C');
        Assert.Contains("U+202E", text, StringComparison.Ordinal);
    }

    [Theory]
    [MemberData(nameof(Harmful))]
    public async Task A_long_name_widens_no_page(SamplePage page)
    {
        await using OpenPage opened = await browser.OpenAsync(pages[page], width: 360, height: 740);
        Assert.True(await opened.Page.EvaluateAsync<bool>("document.documentElement.scrollWidth <= document.documentElement.clientWidth"));
    }
}
