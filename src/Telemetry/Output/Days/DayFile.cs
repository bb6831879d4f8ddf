using System.Collections.Immutable;
using System.Text.Json;
using System.Text.Json.Serialization;

namespace Telemetry.Output.Days;

/// <summary>day.json: the day for other programs, and the record that a restart goes by.</summary>
public static class DayFile
{
    /// <summary>Name of the file in the day's folder; it marks the folder as ours.</summary>
    public const string Name = "day.json";

    /// <summary>Form of the file.</summary>
    public const int FormatVersion = 1;

    /// <summary>The JSON Schema (draft 2020-12) that every day.json fulfils, as text.</summary>
    public static string Schema => EmbeddedText.Read("day.schema.json");

    /// <summary>The day as UTF-8 JSON, indented, one form for one content.</summary>
    public static byte[] ToJson(DayResult day, string libraryVersion)
    {
        ArgumentNullException.ThrowIfNull(day);
        KeptDay kept = new(FormatVersion, libraryVersion, day.SpeedKmh, DayResult.DensityKgM3, day.Runs, day.Changes, day.Trends, Cautions.All);
        return [.. JsonSerializer.SerializeToUtf8Bytes(kept, DayJson.Default.KeptDay), (byte)'\n'];
    }

    /// <summary>The runs that a day's folder holds; none when it has no day.json.</summary>
    /// <param name="folder">The day's folder.</param>
    /// <exception cref="InputError">The file is no day, or has a newer form than this library knows.</exception>
    public static ImmutableArray<DayRun> ReadRuns(string folder)
    {
        ArgumentException.ThrowIfNullOrEmpty(folder);
        string path = Path.Combine(folder, Name);
        if (!File.Exists(path))
        {
            return [];
        }

        KeptDay? day;
        try
        {
            day = JsonSerializer.Deserialize(File.ReadAllBytes(path), DayJson.Default.KeptDay);
        }
        catch (JsonException error)
        {
            string line = error.LineNumber is long number ? $", line {number + 1}" : "";
            throw new InputError(path + line, "This is no record of a day's runs.", "Name a new folder with --out and analyse the logs again.");
        }
        catch (Exception error) when (error is IOException or UnauthorizedAccessException)
        {
            throw new InputError(path, $"The file cannot be read ({error.Message.TrimEnd('.')}).", "Name another folder with --out.");
        }

        if (day is null || day.FormatVersion != FormatVersion)
        {
            throw new InputError(path, $"The record of the day has form {day?.FormatVersion ?? 0}; this version reads form {FormatVersion}.", "Name a new folder with --out and analyse the logs again.");
        }

        return day.Runs;
    }
}

/// <summary>What day.json holds.</summary>
internal sealed record KeptDay(
    int FormatVersion, string LibraryVersion, double? AeroSpeedKmh, double AeroDensityKgM3, ImmutableArray<DayRun> Runs, ImmutableArray<DayChange> Changes,
    ImmutableArray<DayTrend> Trends, ImmutableArray<string> Cautions);

/// <summary>Serializer code that is made when the library is built.</summary>
[JsonSourceGenerationOptions(
    PropertyNamingPolicy = JsonKnownNamingPolicy.SnakeCaseLower,
    WriteIndented = true,
    NewLine = "\n",
    RespectNullableAnnotations = true,
    RespectRequiredConstructorParameters = true)]
[JsonSerializable(typeof(KeptDay))]
internal sealed partial class DayJson : JsonSerializerContext;
