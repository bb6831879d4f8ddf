using System.Globalization;
using System.Text.Json;

namespace Telemetry.Tests.Aero;

/// <summary>Reads the reference tables of these tests: one header line and plain columns.</summary>
internal static class CsvData
{
    public static (string[] Names, double[][] Rows) Numbers(params string[] path)
    {
        string[] lines = File.ReadAllLines(Repository.Data(path));
        return (lines[0].Split(','), [.. lines.Skip(1).Where(l => l.Length > 0).Select(l => l.Split(',').Select(Number).ToArray())]);
    }

    public static string[][] Text(params string[] path) =>
        [.. File.ReadAllLines(Repository.Data(path)).Skip(1).Where(l => l.Length > 0).Select(l => l.Split(','))];

    public static JsonElement Json(params string[] path) =>
        JsonDocument.Parse(File.ReadAllText(Repository.Data(path))).RootElement;

    public static double Number(string text) => double.Parse(text, NumberStyles.Float, CultureInfo.InvariantCulture);

    public static double Number(this JsonElement element, params string[] keys)
    {
        foreach (string key in keys)
        {
            element = element.GetProperty(key);
        }

        return element.GetDouble();
    }

    public static void AssertClose(double expected, double actual, double relative) =>
        Assert.True(
            Math.Abs(actual - expected) <= relative * Math.Abs(expected),
            string.Create(CultureInfo.InvariantCulture, $"expected {expected:R}, found {actual:R}, off by {Math.Abs(actual / expected - 1):E2}"));
}
