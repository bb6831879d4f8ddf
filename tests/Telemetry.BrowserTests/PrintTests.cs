using System.Text;
using Microsoft.Playwright;

namespace Telemetry.BrowserTests;

/// <summary>The page on paper.</summary>
public class PrintTests
{
    /// <summary>A4 less margins of 12 mm at 96 px to the inch, CSS px.</summary>
    private const int PaperWidth = 703;

    /// <summary>The same in landscape.</summary>
    private const int SidewaysWidth = 1032;

    private readonly Browser browser;

    private readonly SamplePages pages;

    public PrintTests(Browser browser, SamplePages pages)
    {
        browser.Require();
        (this.browser, this.pages) = (browser, pages);
    }

    public static TheoryData<SamplePage> Printed => [SamplePage.Rough, SamplePage.Comparison, SamplePage.Day];

    [Theory]
    [MemberData(nameof(Printed))]
    public async Task The_page_prints_to_a_document_of_a_few_sheets(SamplePage page)
    {
        await using OpenPage opened = await browser.OpenAsync(pages[page], scheme: ColorScheme.Dark);
        byte[] document = await opened.Page.PdfAsync(new() { Format = "A4", PreferCSSPageSize = true, Margin = new() { Top = "12mm", Bottom = "12mm", Left = "12mm", Right = "12mm" } });
        Assert.Equal("%PDF-", Encoding.ASCII.GetString(document, 0, 5));
        int sheets = Encoding.Latin1.GetString(document).Split("/Type /Page\n").Length - 1;
        Assert.InRange(sheets, 1, 60);
        opened.IsQuiet();
    }

    [Theory]
    [InlineData(SamplePage.Rough, PaperWidth)]
    [InlineData(SamplePage.Rough, SidewaysWidth)]
    [InlineData(SamplePage.Comparison, PaperWidth)]
    [InlineData(SamplePage.Day, PaperWidth)]
    public async Task Paper_is_white_and_nothing_runs_off_it(SamplePage page, int width)
    {
        await using OpenPage opened = await browser.OpenAsync(pages[page], width: width, height: 1000, scheme: ColorScheme.Dark);
        await opened.Page.EmulateMediaAsync(new() { Media = Media.Print, ColorScheme = ColorScheme.Dark });
        Assert.Equal("rgb(255, 255, 255)", await opened.Page.EvaluateAsync<string>("getComputedStyle(document.body).backgroundColor"));
        // The widest tables are printed in landscape, so they are measured there.
        string[] wide = await opened.Page.EvaluateAsync<string[]>($$"""
            [...document.querySelectorAll('table,figure,ul,p,h1,h2')].filter(e=>e.checkVisibility()&&!!e.closest('.sideways')=={{(width == SidewaysWidth ? "true" : "false")}}&&e.getBoundingClientRect().right>innerWidth+1)
              .map(e=>e.tagName+' '+(e.caption?.innerText??e.innerText.slice(0,60))+' '+Math.round(e.getBoundingClientRect().right))
            """);
        Assert.True(wide.Length == 0, string.Join(Environment.NewLine, wide));
    }
}
