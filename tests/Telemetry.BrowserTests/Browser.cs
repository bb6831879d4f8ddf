using Microsoft.Playwright;

[assembly: AssemblyFixture(typeof(Telemetry.BrowserTests.Browser))]
[assembly: AssemblyFixture(typeof(Telemetry.BrowserTests.SamplePages))]
// One page at a time: a browser that shares two processors with a second one makes every wait a matter of luck.
[assembly: Xunit.v3.Parallelization(Mode = Xunit.Sdk.ParallelMode.None)]

namespace Telemetry.BrowserTests;

/// <summary>One Chromium for all tests, without a window. Where there is none, the tests that ask for it are skipped and say how to get it.</summary>
public sealed class Browser : IAsyncLifetime
{
    /// <summary>Names a browser that is not in the path.</summary>
    private const string Variable = "TELEMETRY_CHROMIUM";

    private static readonly string[] Names = ["chromium", "chromium-browser"];

    /// <summary>The tests open only pages that they wrote themselves, and the sandbox refuses to run for root; the rest keeps a browser from talking to its maker.</summary>
    private static readonly string[] Arguments =
        ["--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run", "--disable-background-networking", "--disable-component-update", "--disable-sync"];

    private IPlaywright? playwright;

    private IBrowser? browser;

    /// <summary>Starts the browser where there is one.</summary>
    public async ValueTask InitializeAsync()
    {
        if (Find() is not string path)
        {
            return;
        }

        playwright = await Playwright.CreateAsync();
        browser = await playwright.Chromium.LaunchAsync(new() { ExecutablePath = path, Headless = true, Args = Arguments });
    }

    /// <summary>Ends the browser.</summary>
    public async ValueTask DisposeAsync()
    {
        if (browser is not null)
        {
            await browser.DisposeAsync();
        }

        playwright?.Dispose();
    }

    /// <summary>Skips the test that calls it where there is no browser.</summary>
    public void Require() => Assert.SkipWhen(
        browser is null,
        $"No Chromium on this machine: install Debian's package 'chromium', or set {Variable} to the browser's program.");

    /// <summary>The browser's version, for the measured figures.</summary>
    public string Version => browser!.Version;

    /// <summary>Opens a file in a context of its own that has no network, and waits until it says that it is drawn.</summary>
    /// <param name="path">The file.</param>
    /// <param name="width">Width of the window, CSS px.</param>
    /// <param name="height">Height of the window, CSS px.</param>
    /// <param name="scheme">Light or dark.</param>
    public async Task<OpenPage> OpenAsync(string path, int width = 1280, int height = 800, ColorScheme scheme = ColorScheme.Light)
    {
        Require();
        IBrowserContext context = await browser!.NewContextAsync(new()
        {
            Offline = true,
            ViewportSize = new() { Width = width, Height = height },
            ColorScheme = scheme,
        });
        return await OpenPage.GoAsync(context, path);
    }

    private static string? Find()
    {
        if (Environment.GetEnvironmentVariable(Variable) is { Length: > 0 } named)
        {
            return File.Exists(named) ? named : throw new FileNotFoundException($"{Variable} names a file that does not exist.", named);
        }

        string[] folders = (Environment.GetEnvironmentVariable("PATH") ?? "").Split(Path.PathSeparator, StringSplitOptions.RemoveEmptyEntries);
        return Names.SelectMany(name => folders.Select(folder => Path.Combine(folder, name))).FirstOrDefault(File.Exists);
    }
}
