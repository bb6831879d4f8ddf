using System.Collections;
using System.Globalization;
using System.Text.Json.Nodes;
using Telemetry.Output;

namespace Telemetry.Notebooks;

/// <summary>Outputs in the form of the notebook format 4.5 (nbformat, "Code cell outputs").</summary>
internal static class CellOutput
{
    /// <summary>What a cell printed to the console.</summary>
    public static JsonObject Printed(string text) => new()
    {
        ["name"] = "stdout",
        ["output_type"] = "stream",
        ["text"] = Lines(text),
    };

    /// <summary>What a cell asked to show on the way.</summary>
    public static JsonObject Shown(object? value) => new()
    {
        ["data"] = Data(value),
        ["metadata"] = new JsonObject(),
        ["output_type"] = "display_data",
    };

    /// <summary>The value of a cell's last expression.</summary>
    public static JsonObject Result(object value, int executionCount) => new()
    {
        ["data"] = Data(value),
        ["execution_count"] = executionCount,
        ["metadata"] = new JsonObject(),
        ["output_type"] = "execute_result",
    };

    /// <summary>Text as the format keeps it: a list of lines, each with its line feed.</summary>
    public static JsonArray Lines(string text)
    {
        JsonArray lines = [];
        int start = 0;
        string unix = text.ReplaceLineEndings("\n");
        while (start < unix.Length)
        {
            int end = unix.IndexOf('\n', start);
            int next = end < 0 ? unix.Length : end + 1;
            lines.Add((JsonNode)unix[start..next]);
            start = next;
        }

        return lines;
    }

    private static JsonObject Data(object? value) => value is Picture picture
        ? new JsonObject { ["image/png"] = Convert.ToBase64String(picture.Png.AsSpan()) }
        : new JsonObject { ["text/plain"] = Lines(Text(value)) };

    private static string Text(object? value) => value switch
    {
        null => "null",
        string text => text,
        IFormattable number => number.ToString(null, CultureInfo.InvariantCulture),
        IEnumerable many => string.Join('\n', many.Cast<object?>().Select(Text)),
        _ => value.ToString() ?? "",
    };
}
