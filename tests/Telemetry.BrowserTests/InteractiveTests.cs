using System.Globalization;
using Microsoft.Playwright;

namespace Telemetry.BrowserTests;

/// <summary>The path of somebody who looks for a load: open, zoom with the mouse, go back, jump to a strike.</summary>
public class InteractiveTests
{
    private readonly Browser browser;

    private readonly SamplePages pages;

    public InteractiveTests(Browser browser, SamplePages pages)
    {
        browser.Require();
        (this.browser, this.pages) = (browser, pages);
    }

    [Fact]
    public async Task A_drag_zooms_every_panel_to_one_stretch_and_Escape_shows_the_whole_again()
    {
        await using OpenPage opened = await browser.OpenAsync(pages[SamplePage.Rough]);
        ILocator box = opened.Page.Locator("#channels");
        (double From, double To) whole = await View(box);
        string[] before = await Drawn(opened.Page);
        Assert.True(before.Length >= 3, $"{before.Length} panels are open");
        Assert.Equal(before.Length, before.Distinct().Count());

        await ChannelPath.DragAsync(opened.Page, 0.25, 0.5);
        (double From, double To) zoomed = await View(box);
        double span = whole.To - whole.From;
        Assert.InRange((zoomed.From - whole.From) / span, 0.22, 0.28);
        Assert.InRange((zoomed.To - whole.From) / span, 0.47, 0.53);
        await Assertions.Expect(box).ToHaveAttributeAsync("data-detail", "full");
        string[] after = await Drawn(opened.Page);
        Assert.Equal(before.Length, after.Length);
        Assert.All(before.Zip(after), pair => Assert.NotEqual(pair.First, pair.Second));

        await box.FocusAsync();
        await opened.Page.Keyboard.PressAsync("Escape");
        Assert.Equal(whole, await View(box));
        opened.IsQuiet();
    }

    [Fact]
    public async Task A_strike_of_the_list_shows_the_raw_history_around_it()
    {
        await using OpenPage opened = await browser.OpenAsync(pages[SamplePage.Rough]);
        ILocator button = opened.Page.Locator("button.to-strike").First;
        string number = await button.GetAttributeAsync("data-strike-number") ?? "";
        await button.ClickAsync();
        ILocator box = opened.Page.Locator("#channels");
        await Assertions.Expect(box).ToHaveAttributeAsync("data-strike", number);
        await Assertions.Expect(box).ToHaveAttributeAsync("data-axis", "runTime");
        await Assertions.Expect(box).ToHaveAttributeAsync("data-detail", "full");
        (double from, double to) = await View(box);
        Assert.InRange(to - from, 0.01, 10);
        // The table's first row is the strike that came nearest to a limit: of this run, the second at 260.47 s, as the run sheet and the truth beside the log say.
        Assert.InRange(260.4, from - 1, to + 1);
        Assert.True(await box.EvaluateAsync<bool>("box => box === document.activeElement"), "the keyboard goes along");
        await Assertions.Expect(opened.Page.Locator("#channels-said")).ToContainTextAsync("Strike");
        opened.IsQuiet();
    }

    [Theory]
    [InlineData(1280)]
    [InlineData(360)]
    public async Task A_strike_on_the_driven_line_jumps_to_its_raw_history_and_no_peak_hides_another(int width)
    {
        await using OpenPage opened = await browser.OpenAsync(pages[SamplePage.Map], width: width);
        ILocator map = opened.Page.GetByRole(AriaRole.Img, new() { Name = "Kerb strikes on the driven line" });
        // One scale for both directions: the plane of the drawing is as many metres a pixel upward as across, so the line keeps its shape.
        LocatorBoundingBoxResult line = await map.Locator(".track").BoundingBoxAsync() ?? throw new InvalidOperationException("The driven line is not on the page.");
        Assert.True(line.Width > 100 && line.Height > 60, $"the driven line takes {line.Width} by {line.Height} pixels");
        LocatorBoundingBoxResult[] names = [.. await Task.WhenAll((await map.Locator(".named").AllAsync()).Select(async name => (await name.BoundingBoxAsync())!))];
        Assert.NotEmpty(names);
        // Letters need three quarters of their box.
        Assert.DoesNotContain(names.SelectMany((a, i) => names.Skip(i + 1).Select(b => (a, b))), pair =>
            pair.a.X < pair.b.X + pair.b.Width && pair.b.X < pair.a.X + pair.a.Width && Math.Abs(pair.a.Y - pair.b.Y) < 0.75 * pair.a.Height);

        ILocator mark = map.Locator(".mark").Last;
        string number = await mark.GetAttributeAsync("data-strike-number") ?? "";
        await mark.ClickAsync();
        ILocator box = opened.Page.Locator("#channels");
        await Assertions.Expect(box).ToHaveAttributeAsync("data-strike", number);
        await Assertions.Expect(box).ToHaveAttributeAsync("data-detail", "full");
        opened.IsQuiet();
    }

    [Fact]
    public async Task The_keyboard_alone_zooms_moves_and_goes_back()
    {
        await using OpenPage opened = await browser.OpenAsync(pages[SamplePage.Rough]);
        ILocator box = opened.Page.Locator("#channels");
        (double From, double To) whole = await View(box);
        await box.FocusAsync();
        await opened.Page.Keyboard.PressAsync("ArrowUp");
        (double From, double To) near = await View(box);
        Assert.Equal(0.5, (near.To - near.From) / (whole.To - whole.From), 0.01);
        await opened.Page.Keyboard.PressAsync("Shift+ArrowRight");
        (double From, double To) moved = await View(box);
        Assert.True(moved.From > near.From, "Shift and the right arrow move the view to the right");
        await opened.Page.Keyboard.PressAsync("Escape");
        Assert.Equal(whole, await View(box));
        opened.IsQuiet();
    }

    private static async Task<(double From, double To)> View(ILocator box) => (
        double.Parse(await box.GetAttributeAsync("data-from") ?? "", CultureInfo.InvariantCulture),
        double.Parse(await box.GetAttributeAsync("data-to") ?? "", CultureInfo.InvariantCulture));

    private static async Task<string[]> Drawn(IPage page) => await page.EvaluateAsync<string[]>("[...document.querySelectorAll('#channels .panel canvas')].map(c => c.toDataURL())");
}

/// <summary>What a mouse does on the channels.</summary>
internal static class ChannelPath
{
    /// <summary>Drags over the first panel, between two shares of its width.</summary>
    public static async Task DragAsync(IPage page, double from, double to)
    {
        ILocator panel = page.Locator("#channels .panel .u-over").First;
        await panel.ScrollIntoViewIfNeededAsync();
        LocatorBoundingBoxResult at = await panel.BoundingBoxAsync() ?? throw new InvalidOperationException("The first panel is not on the page.");
        float y = at.Y + (at.Height / 2);
        await page.Mouse.MoveAsync(at.X + (float)(from * at.Width), y);
        await page.Mouse.DownAsync();
        await page.Mouse.MoveAsync(at.X + (float)(to * at.Width), y, new() { Steps = 5 });
        await page.Mouse.UpAsync();
    }
}
