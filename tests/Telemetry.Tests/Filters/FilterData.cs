using System.Globalization;
using System.Text.Json;
using Telemetry.Filters;

namespace Telemetry.Tests.Filters;

/// <summary>Designs and responses from other programs, read from Data/filters and Data/signal (see the SOURCE.md there).</summary>
internal static class FilterData
{
    internal static JsonElement Json(string folder, string file)
    {
        using JsonDocument document = JsonDocument.Parse(File.ReadAllText(Repository.Data(folder, file)));
        return document.RootElement.Clone();
    }

    internal static IEnumerable<JsonElement> SciPyDesigns() =>
        Json("filters", "butterworth_designs.json").GetProperty("designs").EnumerateArray();

    internal static JsonElement SciPyDesign(string name) =>
        SciPyDesigns().Single(design => design.GetProperty("name").GetString() == name);

    internal static IEnumerable<JsonElement> FiftyDigitCases() =>
        Json("filters", "more_designs_50_digit.json").GetProperty("cases").EnumerateArray();

    internal static JsonElement FiftyDigitCase(string name) =>
        FiftyDigitCases().Single(design => design.GetProperty("name").GetString() == name);

    /// <summary>Our filter for a design of the files; their cut-offs all hold for one pass.</summary>
    internal static ButterworthFilter Ours(JsonElement design)
    {
        int order = design.TryGetProperty("order", out JsonElement own) ? own.GetInt32() : design.GetProperty("order_argument").GetInt32();
        double rateHz = design.GetProperty("sample_rate_hz").GetDouble();
        JsonElement cutoff = design.GetProperty("cutoff_hz");
        double[] cutoffsHz = cutoff.ValueKind == JsonValueKind.Array ? Numbers(cutoff) : [cutoff.GetDouble()];
        return design.GetProperty("type").GetString() switch
        {
            "lowpass" => ButterworthFilter.LowPass(order, cutoffsHz[0], rateHz, CutoffMeaning.SinglePass),
            "highpass" => ButterworthFilter.HighPass(order, cutoffsHz[0], rateHz, CutoffMeaning.SinglePass),
            "bandpass" => ButterworthFilter.BandPass(order, cutoffsHz[0], cutoffsHz[1], rateHz, CutoffMeaning.SinglePass),
            "bandstop" => ButterworthFilter.BandStop(order, cutoffsHz[0], cutoffsHz[1], rateHz, CutoffMeaning.SinglePass),
            string other => throw new InvalidDataException(other),
            null => throw new InvalidDataException("type"),
        };
    }

    internal static double[] Numbers(JsonElement array) => [.. array.EnumerateArray().Select(e => e.GetDouble())];

    internal static double[][] Rows(JsonElement array) => [.. array.EnumerateArray().Select(Numbers)];

    /// <summary>Columns of a CSV file by name.</summary>
    internal static Dictionary<string, double[]> Columns(string folder, string file)
    {
        string[] lines = File.ReadAllLines(Repository.Data(folder, file));
        string[] names = lines[0].Split(',');
        double[][] rows = [.. lines.Skip(1).Select(line => line.Split(',').Select(Number).ToArray())];
        return names.Select((name, column) => (name, column)).ToDictionary(p => p.name, p => rows.Select(row => row[p.column]).ToArray());

        static double Number(string text) =>
            double.TryParse(text, CultureInfo.InvariantCulture, out double value) ? value : double.NaN;
    }

    /// <summary>Asserts that two series agree within a share of the greatest expected value.</summary>
    internal static void Near(IReadOnlyList<double> expected, IReadOnlyList<double> actual, double relative)
    {
        Assert.Equal(expected.Count, actual.Count);
        double scale = expected.Max(Math.Abs);
        for (int i = 0; i < expected.Count; i++)
        {
            Assert.True(
                Math.Abs(expected[i] - actual[i]) <= relative * scale,
                $"sample {i}: expected {expected[i]:R}, found {actual[i]:R}, allowed {relative * scale:E1}");
        }
    }

    internal static void NearValue(double expected, double actual, double relative) =>
        Assert.True(Math.Abs(expected - actual) <= relative * Math.Abs(expected), $"expected {expected:R}, found {actual:R}");
}
