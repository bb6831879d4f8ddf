using System.Diagnostics;
using Microsoft.Playwright;

namespace Telemetry.BrowserTests;

/// <summary>A page in the browser, with everything that went wrong in it since it was opened.</summary>
public sealed class OpenPage : IAsyncDisposable
{
    /// <summary>Longest wait for a page to say that it is drawn, ms: far above what it takes, so that a busy machine fails no test.</summary>
    private const float PatienceMs = 60_000;

    private readonly IBrowserContext context;

    private readonly List<string> faults = [];

    private OpenPage(IBrowserContext context, IPage page) => (this.context, Page) = (context, page);

    /// <summary>The page.</summary>
    public IPage Page { get; }

    /// <summary>From the call to the file until the page said that it is drawn, or was loaded where it has no script.</summary>
    public TimeSpan Ready { get; private set; }

    internal static async Task<OpenPage> GoAsync(IBrowserContext context, string path)
    {
        OpenPage opened = new(context, await context.NewPageAsync());
        string address = new Uri(path).AbsoluteUri;
        opened.Listen(address);
        long start = Stopwatch.GetTimestamp();
        await opened.Page.GotoAsync(address, new() { WaitUntil = WaitUntilState.Load, Timeout = PatienceMs });
        if (await opened.Page.Locator("script:not([type='application/json'])").CountAsync() > 0)
        {
            await opened.Page.WaitForSelectorAsync("body[data-ready]", new() { State = WaitForSelectorState.Attached, Timeout = PatienceMs });
        }

        opened.Ready = Stopwatch.GetElapsedTime(start);
        return opened;
    }

    /// <summary>Fails when there was an error on the console, an error of a script, a dialog, or a request for anything but the file itself.</summary>
    /// <remarks>A content-security policy that is broken is an error on the console too.</remarks>
    public void IsQuiet() => Assert.True(faults.Count == 0, string.Join(Environment.NewLine, faults));

    /// <summary>The text that a person sees and a screen reader reads.</summary>
    public Task<string> TextAsync() => Page.Locator("body").InnerTextAsync();

    /// <inheritdoc/>
    public async ValueTask DisposeAsync() => await context.DisposeAsync();

    private void Listen(string address)
    {
        Page.Console += (_, message) =>
        {
            if (message.Type is "error" or "warning")
            {
                faults.Add($"console: {message.Text}");
            }
        };
        Page.PageError += (_, error) => faults.Add($"script: {error}");
        Page.Dialog += (_, dialog) =>
        {
            faults.Add($"dialog: {dialog.Message}");
            _ = dialog.DismissAsync();
        };
        context.Request += (_, request) =>
        {
            // Data and blobs are made from the page's own bytes.
            if (request.Url.Split('#')[0] != address && !request.Url.StartsWith("data:", StringComparison.Ordinal) && !request.Url.StartsWith("blob:", StringComparison.Ordinal))
            {
                faults.Add($"request: {request.Url}");
            }
        };
    }
}
