using System.Globalization;
using System.Text.Json;

namespace Telemetry.Tests.Fatigue;

/// <summary>Reads the published and computed reference files of the cycle count and of fatigue.</summary>
internal static class PublishedData
{
    public static JsonElement.ArrayEnumerator Cases(params string[] path) =>
        JsonDocument.Parse(File.ReadAllText(Repository.Data(path))).RootElement.GetProperty("cases").EnumerateArray();

    public static JsonElement Case(string name, params string[] path) => Cases(path).Single(c => c.GetProperty("name").GetString() == name);

    public static double[] Numbers(this JsonElement element, string name) => [.. element.GetProperty(name).EnumerateArray().Select(e => e.GetDouble())];

    /// <summary>Rows of a CSV file without its header; every field as text.</summary>
    public static string[][] Rows(params string[] path) =>
        [.. File.ReadAllLines(Repository.Data(path)).Skip(1).Where(line => line.Length > 0).Select(line => line.Split(','))];

    public static double Number(string text) => double.Parse(text, CultureInfo.InvariantCulture);

    public static double[] Column(int column, params string[] path) => [.. Rows(path).Select(row => Number(row[column]))];
}
