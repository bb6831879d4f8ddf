using System.Text.Json;
using Microsoft.Playwright;

namespace Telemetry.BrowserTests;

/// <summary>What the page costs, printed. Run on request only: a busy machine says nothing about the page, so the bounds are wide.</summary>
public class MeasuredTests(Browser browser, SamplePages pages, ITestOutputHelper output)
{
    private const int Repeats = 5;

    [Fact(Explicit = true)]
    public async Task Size_time_to_ready_zoom_and_memory()
    {
        browser.Require();
        // A page of one's own may be measured instead, as that of a long run.
        string path = Environment.GetEnvironmentVariable("TELEMETRY_PAGE") is { Length: > 0 } own ? Path.GetFullPath(own) : pages[SamplePage.Rough];
        int panels = 0;
        List<double> ready = [], unpacked = [], zoom = [], memory = [];
        for (int i = 0; i < Repeats; i++)
        {
            await using OpenPage opened = await browser.OpenAsync(path);
            ready.Add(opened.Ready.TotalMilliseconds);
            await opened.Page.WaitForSelectorAsync("body[data-unpacked]", new() { State = WaitForSelectorState.Attached });
            unpacked.Add(await opened.Page.EvaluateAsync<double>("performance.now()"));
            await opened.Page.EvaluateAsync("document.querySelectorAll('#channels input[name=channel]:not(:checked)').forEach(input => input.click())");
            // From the key until the browser has painted the new stretch: the first zoom of the page.
            zoom.Add(await opened.Page.EvaluateAsync<double>("""
                new Promise(done => {
                  const start = performance.now();
                  document.getElementById('channels').dispatchEvent(new KeyboardEvent('keydown', { key: 'ArrowUp' }));
                  requestAnimationFrame(() => setTimeout(() => done(performance.now() - start)));
                })
                """));
            ICDPSession session = await opened.Page.Context.NewCDPSessionAsync(opened.Page);
            await session.SendAsync("HeapProfiler.collectGarbage");
            JsonElement heap = (await session.SendAsync("Runtime.getHeapUsage"))!.Value;
            panels = await opened.Page.Locator("#channels .panel").CountAsync();
            memory.Add((heap.GetProperty("usedSize").GetDouble() + (heap.TryGetProperty("backingStorageSize", out JsonElement backing) ? backing.GetDouble() : 0)) / 1e6);
        }

        await using OpenPage last = await browser.OpenAsync(path);
        AxeResult axe = await Axe.RunAsync(last.Page);
        output.WriteLine(FormattableString.Invariant($"Chromium {browser.Version}; {new FileInfo(path).Length / 1e6:0.0} MB; ready {Median(ready):0} ms; all samples unpacked {Median(unpacked):0} ms; first zoom of {panels} panels {Median(zoom):0} ms; script heap and buffers {Median(memory):0} MB; axe {axe.Version}: {axe.Passed} rules kept, {axe.Violations.Count} broken{string.Concat(axe.Violations.Select(rule => $"; {rule}"))}"));
        Assert.True(new FileInfo(path).Length < 15e6);
        Assert.InRange(Median(ready), 1, 20_000);
        Assert.InRange(Median(zoom), 0.1, 5_000);
    }

    private static double Median(List<double> values) => values.Order().ElementAt(values.Count / 2);
}
