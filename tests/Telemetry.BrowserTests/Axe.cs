using System.Text.Json;
using Microsoft.Playwright;

namespace Telemetry.BrowserTests;

/// <summary>The accessibility rules of axe-core (axe/SOURCE.md), run inside a page.</summary>
internal static class Axe
{
    private static readonly Lazy<string> Script = new(() =>
    {
        using StreamReader reader = new(typeof(Axe).Assembly.GetManifestResourceStream("axe.min.js")!);
        return reader.ReadToEnd() + ";void 0";
    });

    /// <summary>Runs every rule; what is broken, by its impact.</summary>
    public static async Task<AxeResult> RunAsync(IPage page)
    {
        await page.EvaluateAsync(Script.Value);
        JsonElement result = await page.EvaluateAsync<JsonElement>("axe.run(document,{resultTypes:['violations']})");
        return new(
            result.GetProperty("testEngine").GetProperty("version").GetString()!,
            result.GetProperty("passes").GetArrayLength(),
            [.. result.GetProperty("violations").EnumerateArray().Select(rule => new AxeViolation(
                rule.GetProperty("id").GetString()!,
                rule.GetProperty("impact").GetString() ?? "",
                rule.GetProperty("help").GetString()!,
                [.. rule.GetProperty("nodes").EnumerateArray().Select(node => node.GetProperty("html").GetString()!)]))]);
    }
}

/// <summary>What axe found.</summary>
/// <param name="Version">Version of the rules.</param>
/// <param name="Passed">Rules that were kept.</param>
/// <param name="Violations">Rules that were broken.</param>
internal sealed record AxeResult(string Version, int Passed, IReadOnlyList<AxeViolation> Violations)
{
    /// <summary>Those that keep somebody from using the page, or nearly.</summary>
    public IEnumerable<AxeViolation> Severe => Violations.Where(rule => rule.Impact is "serious" or "critical");
}

/// <summary>A broken rule.</summary>
internal sealed record AxeViolation(string Id, string Impact, string Help, IReadOnlyList<string> Nodes)
{
    /// <summary>For the failure of a test.</summary>
    public override string ToString() => $"{Impact}: {Id}, {Help}: {string.Join(" | ", Nodes.Take(3).Select(node => node[..Math.Min(node.Length, 200)]))}";
}
