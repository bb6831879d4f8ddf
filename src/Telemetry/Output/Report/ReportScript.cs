using System.Security.Cryptography;
using System.Text;

namespace Telemetry.Output.Report;

/// <summary>The page's own script and style, and the policy that lets these and nothing else run.</summary>
/// <remarks>
/// The policy names the SHA-256 of each (Content Security Policy Level 3, 2.3.1 and 8.1), so a script that a hostile name might bring in does not run even
/// where a browser were to see one. Data for the script stands in elements that are no script to a browser (HTML, 4.12.1, data blocks) and need no permission.
/// </remarks>
internal static class ReportScript
{
    /// <summary>Our own files, in the order in which they build on each other.</summary>
    private static readonly string[] Own = ["samples.js", "columns.js", "look.js", "channels.js", "keys.js", "figures.js", "drawings.js", "strikes.js", "start.js"];

    private static readonly Lazy<string> ChartText = new(() => Text("uplot.uPlot.iife.min.js"));

    private static readonly Lazy<string> OwnText = new(() => "(function(){\n\"use strict\";\n" + string.Join('\n', Own.Select(name => Text("script." + name))) + "})();\n");

    private static readonly Lazy<string> StyleText = new(() => ReportStyle.Css + "\n" + Text("uplot.uPlot.min.css") + Text("script.figures.css"));

    private static readonly Lazy<string> PolicyText = new(() =>
        $"default-src 'none'; script-src {Hash(Chart)} {Hash(Script)}; style-src {Hash(Style)}; img-src data:; base-uri 'none'; form-action 'none'");

    /// <summary>The chart library.</summary>
    public static string Chart => ChartText.Value;

    /// <summary>What we do with it, as one function of its own so that it leaves no names behind.</summary>
    public static string Script => OwnText.Value;

    /// <summary>The style sheet.</summary>
    public static string Style => StyleText.Value;

    /// <summary>The licence of the chart library.</summary>
    public static string Licence => Text("uplot.LICENSE");

    /// <summary>The policy of the page.</summary>
    public static string Policy => PolicyText.Value;

    /// <summary>A source expression that permits exactly this text between the tags.</summary>
    private static string Hash(string text) => $"'sha256-{Convert.ToBase64String(SHA256.HashData(Encoding.UTF8.GetBytes(text)))}'";

    // A browser reads every line end as one line feed before it takes the hash.
    private static string Text(string name) => EmbeddedText.Read("Telemetry.Output.Report." + name).ReplaceLineEndings("\n");
}
