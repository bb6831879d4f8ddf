using Microsoft.Playwright;

namespace Telemetry.BrowserTests;

/// <summary>Rules of WCAG 2.2 that a program can check, by axe-core, and the keyboard path, which it cannot.</summary>
public class AccessibilityTests
{
    private readonly Browser browser;

    private readonly SamplePages pages;

    public AccessibilityTests(Browser browser, SamplePages pages)
    {
        browser.Require();
        (this.browser, this.pages) = (browser, pages);
    }

    public static MatrixTheoryData<SamplePage, ColorScheme, int> Looks =>
        new([SamplePage.Rough, SamplePage.Comparison, SamplePage.Hostile, SamplePage.Day], [ColorScheme.Light, ColorScheme.Dark], [1280, 360]);

    [Theory]
    [MemberData(nameof(Looks))]
    public async Task No_serious_rule_is_broken(SamplePage page, ColorScheme scheme, int width)
    {
        await using OpenPage opened = await browser.OpenAsync(pages[page], width, 800, scheme);
        AxeResult result = await Axe.RunAsync(opened.Page);
        Assert.True(result.Passed > 10, $"only {result.Passed} rules applied");
        Assert.True(!result.Severe.Any(), string.Join(Environment.NewLine, result.Severe));
        // The rules run under the page's own policy and must not have been kept from their work by it.
        opened.IsQuiet();
    }

    // A rule set that finds nothing wherever it looks would pass as well.
    [Fact]
    public async Task The_rules_find_a_fault_that_is_put_in()
    {
        await using OpenPage opened = await browser.OpenAsync(pages[SamplePage.Comparison]);
        await opened.Page.EvaluateAsync("document.images[0].removeAttribute('alt');document.querySelector('h1').style.color='#eee'");
        AxeResult result = await Axe.RunAsync(opened.Page);
        Assert.Contains(result.Severe, rule => rule.Id == "image-alt");
        Assert.Contains(result.Severe, rule => rule.Id == "color-contrast");
    }

    // WCAG 2.2, 2.1.1 (keyboard), 2.1.2 (no trap), 2.4.3 (order), 2.4.7 (focus is seen).
    [Theory]
    [InlineData(SamplePage.Rough)]
    [InlineData(SamplePage.Comparison)]
    public async Task The_keyboard_reaches_everything_in_order_and_shows_where_it_is(SamplePage page)
    {
        await using OpenPage opened = await browser.OpenAsync(pages[page]);
        int stops = await opened.Page.EvaluateAsync<int>("[...document.querySelectorAll('a[href],button,input,select,summary,[tabindex=\"0\"]')].filter(e=>e.checkVisibility()&&!e.disabled).length");
        Assert.True(stops > 0);
        double last = double.NegativeInfinity;
        HashSet<string> seen = [];
        for (int i = 0; i < stops; i++)
        {
            await opened.Page.Keyboard.PressAsync("Tab");
            Stop stop = await opened.Page.EvaluateAsync<Stop>(FocusedElement);
            if (stop.Tag == "BODY")
            {
                break;
            }

            Assert.True(stop.Outlined, $"<{stop.Tag}> '{stop.Name}' does not show that it has the focus");
            Assert.True(stop.Name.Length > 0, $"<{stop.Tag}> at {stop.Top:0} px has no name");
            // A radio group is one stop; nothing may send the focus back up the page by more than a row of controls.
            Assert.True(stop.Top >= last - 200, $"<{stop.Tag}> '{stop.Name}' comes after something {last - stop.Top:0} px further down");
            (last, _) = (stop.Top, seen.Add(stop.Id));
        }

        Assert.True(seen.Count >= 0.6 * stops, $"the keyboard reached {seen.Count} of {stops}");
        await opened.Page.Keyboard.PressAsync("Shift+Tab");
        opened.IsQuiet();
    }

    [Fact]
    public async Task A_table_that_is_wider_than_a_phone_is_scrolled_with_the_keys()
    {
        await using OpenPage opened = await browser.OpenAsync(pages[SamplePage.Rough], width: 360, height: 740);
        ILocator wide = opened.Page.GetByRole(AriaRole.Region, new() { Name = "What to look at, in this order" });
        await wide.FocusAsync();
        double moved = 0;
        for (int i = 0; i < 50 && moved <= 20; i++)
        {
            await opened.Page.Keyboard.PressAsync("ArrowRight");
            moved = await opened.Page.EvaluateAsync<double>("document.activeElement.scrollLeft");
        }

        Assert.True(moved > 20, $"fifty presses moved the table by {moved} px");
    }

    private const string FocusedElement = """
        (() => {
          const e = document.activeElement, s = getComputedStyle(e), l = document.getElementById(e.getAttribute('aria-labelledby'));
          window.stops ??= new Map();
          if (!window.stops.has(e)) window.stops.set(e, window.stops.size);
          return {
            id: '' + window.stops.get(e), tag: e.tagName, top: e.getBoundingClientRect().top + scrollY,
            name: (e.getAttribute('aria-label') || l?.innerText || e.labels?.[0]?.innerText || e.innerText || e.title || '').trim().slice(0, 60),
            outlined: (s.outlineStyle !== 'none' && parseFloat(s.outlineWidth) > 0) || s.boxShadow !== 'none',
          };
        })()
        """;

    private sealed record Stop
    {
        public string Id { get; init; } = "";

        public string Tag { get; init; } = "";

        public string Name { get; init; } = "";

        public double Top { get; init; }

        public bool Outlined { get; init; }
    }
}
