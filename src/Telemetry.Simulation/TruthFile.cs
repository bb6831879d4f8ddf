using System.Text.Json;
using System.Text.Json.Serialization;

namespace Telemetry.Simulation;

/// <summary>The truth of a simulated run as a JSON file beside its log.</summary>
public static class TruthFile
{
    /// <summary>Writes the truth; the same truth gives the same bytes.</summary>
    /// <param name="truth">The truth.</param>
    /// <param name="path">Path of the file; one that exists is replaced once the new one is whole.</param>
    /// <exception cref="IOException">The file cannot be written.</exception>
    /// <exception cref="UnauthorizedAccessException">The folder may not be written to.</exception>
    public static void Write(SimulationTruth truth, string path)
    {
        string beside = path + ".part";
        try
        {
            File.WriteAllText(beside, ToJson(truth));
            File.Move(beside, path, overwrite: true);
        }
        catch
        {
            File.Delete(beside);
            throw;
        }
    }

    /// <summary>Reads a truth that <see cref="Write"/> wrote.</summary>
    /// <param name="path">Path of the file.</param>
    /// <exception cref="InputError">The file is missing or is no truth.</exception>
    public static SimulationTruth Read(string path)
    {
        try
        {
            return JsonSerializer.Deserialize(ScenarioFile.Text(path), TruthJson.Default.SimulationTruth)
                ?? throw new InputError(path, "holds no truth.", "Simulate the run again.");
        }
        catch (JsonException error)
        {
            throw new InputError($"{path}, line {error.LineNumber + 1}", "is not the truth of a simulated run.", "Simulate the run again.");
        }
    }

    /// <summary>The truth as JSON text, lines ended by a line feed.</summary>
    /// <param name="truth">The truth.</param>
    public static string ToJson(SimulationTruth truth) =>
        JsonSerializer.Serialize(truth, TruthJson.Default.SimulationTruth) + "\n";
}

/// <summary>How the truth is written.</summary>
[JsonSourceGenerationOptions(WriteIndented = true, NewLine = "\n", PropertyNamingPolicy = JsonKnownNamingPolicy.SnakeCaseLower)]
[JsonSerializable(typeof(SimulationTruth))]
internal sealed partial class TruthJson : JsonSerializerContext;
