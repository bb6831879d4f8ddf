using System.Collections.Immutable;
using System.Text;
using System.Text.Json;
using Telemetry.Car;
using Telemetry.Zero;

namespace Telemetry.Ledger;

/// <summary>The zeros of a day (or a season) as a text file: a head line, then one JSON object a line and run (UTF-8).</summary>
/// <remarks>
/// <code>
/// {"zero_file":1}
/// {"run":"run7","log_hash":"9f2c...","car":"Demo","taken_at_utc":"2026-03-14T09:12:00+00:00","cells":[{"cell":"serial LC-0412","corner":"FL","source":"GroundCornerWeights","start_n":41.2,"end_n":44.0,"standard_uncertainty_n":12.1,"own_uncertainty_n":6.3,"gain":1,"temperature_k":301.2,"travel_zero_m":0.0123}, ...]}
/// </code>
/// A line may be taken out by hand, for instance of a run with a wrong setup sheet. Zeros are in N of load, temperatures in K, travels in m.
/// </remarks>
public static class ZeroFile
{
    private const int FormatVersion = 1;

    /// <summary>A larger file is none of ours, bytes: ten thousand runs have some ten million.</summary>
    private const long LargestFileBytes = 64 << 20;

    /// <summary>No zero, gain or uncertainty of a pushrod's load cell is larger than this, N.</summary>
    private const double LargestN = 1e6;

    private const int LongestName = 1000;

    private const int MostFaults = 20;

    /// <summary>Reads a zero file.</summary>
    /// <param name="path">The file; one that does not exist is an empty history.</param>
    /// <exception cref="InputError">The file cannot be read, or lines are no entries of a zero file; names every such line (the first twenty).</exception>
    public static ZeroHistory Read(string path)
    {
        ArgumentException.ThrowIfNullOrEmpty(path);
        string[] lines;
        try
        {
            FileInfo file = new(path);
            if (!file.Exists && !Directory.Exists(path))
            {
                return ZeroHistory.Empty;
            }

            if (file.Exists && file.Length > LargestFileBytes)
            {
                throw new InputError(path, $"the file has {file.Length >> 20} MB, far more than a zero file.", "Name a zero file that this program wrote, or one that does not exist yet.");
            }

            lines = File.ReadAllLines(path, new UTF8Encoding(false, throwOnInvalidBytes: true));
        }
        catch (Exception error) when (error is IOException or UnauthorizedAccessException or DecoderFallbackException)
        {
            throw new InputError(path, $"the zero file cannot be read: {error.Message.TrimEnd('.')}.", "Name another file, or correct its rights.");
        }

        List<InputFault> faults = [];
        if (HeadFault(lines) is { } head)
        {
            throw new InputError($"{path}, line 1", head, "Name a zero file that this program wrote, or one that does not exist yet.");
        }

        ImmutableArray<ZeroRun>.Builder runs = ImmutableArray.CreateBuilder<ZeroRun>();
        Dictionary<string, string> names = new(StringComparer.Ordinal);
        for (int i = 1; i < lines.Length && faults.Count < MostFaults; i++)
        {
            if (Parse(lines[i], out ZeroRun? run) is { } fault)
            {
                faults.Add(new InputFault($"{path}, line {i + 1}", fault, "Restore the file from a copy, or remove the line if the run may be forgotten."));
            }
            else if (!names.TryAdd(run!.LogHash, run.Run))
            {
                faults.Add(new InputFault($"{path}, line {i + 1}", $"the log of run '{run.Run}' is in the file already, as run '{names[run.LogHash]}'.", "Remove one of the two lines."));
            }
            else
            {
                runs.Add(run);
            }
        }

        return faults.Count == 0 ? new(runs.ToImmutable()) : throw new InputError(faults);
    }

    /// <summary>Writes a history whole or not at all: beside the file, then in its place.</summary>
    /// <param name="path">The file; replaced when it exists.</param>
    /// <param name="history">What to write.</param>
    /// <exception cref="IOException">The file could not be written; the old one is untouched.</exception>
    /// <exception cref="UnauthorizedAccessException">The file may not be written; the old one is untouched.</exception>
    public static void Write(string path, ZeroHistory history)
    {
        ArgumentException.ThrowIfNullOrEmpty(path);
        ArgumentNullException.ThrowIfNull(history);
        KeptFile.Write(path, new ZeroFileHead(FormatVersion), ZeroFileJson.Default.ZeroFileHead, history.Runs, ZeroFileJson.Default.ZeroRun);
    }

    /// <summary>Makes sure that <see cref="Write"/> could write a history now; leaves the file alone.</summary>
    /// <param name="path">The file; it is not touched.</param>
    /// <exception cref="IOException">The folder is not there, or the file system refuses.</exception>
    /// <exception cref="UnauthorizedAccessException">The folder may not be written to.</exception>
    public static void RequireWritable(string path)
    {
        ArgumentException.ThrowIfNullOrEmpty(path);
        KeptFile.RequireWritable(path);
    }

    private static string? HeadFault(string[] lines)
    {
        int? version = null;
        try
        {
            version = lines.Length == 0 ? null : JsonSerializer.Deserialize(lines[0], ZeroFileJson.Default.ZeroFileHead)?.ZeroFile;
        }
        catch (JsonException)
        {
            // Told below as any other head that is none.
        }

        return version == FormatVersion ? null
            : version is { } other && other > 0 ? $"is a zero file of format {other}; this program reads format {FormatVersion}."
            : "is not the head of a zero file.";
    }

    private static string? Parse(string line, out ZeroRun? run)
    {
        run = null;
        try
        {
            run = JsonSerializer.Deserialize(line, ZeroFileJson.Default.ZeroRun);
        }
        catch (JsonException error)
        {
            return $"is no entry of a run ({Where(error)}).";
        }

        if (run is null || !IsName(run.Run) || !IsName(run.LogHash) || !IsName(run.Car) || run.Cells.IsDefaultOrEmpty)
        {
            return "lacks the run's name, the log's hash, the car or the cells, or has a name that is none.";
        }

        HashSet<string> cells = new(StringComparer.Ordinal);
        foreach (CellZero cell in run.Cells)
        {
            if (cell is null || !IsName(cell.Cell) || !cells.Add(cell.Cell))
            {
                return $"has a cell without a name, or the cell '{cell?.Cell}' twice.";
            }

            if (FaultOf(cell) is { } fault)
            {
                return $"cell '{cell.Cell}': {fault}";
            }
        }

        return null;
    }

    private static string? FaultOf(CellZero cell) =>
        Corners.FromCode(cell.Corner) is null ? $"'{cell.Corner}' is none of FL, FR, RL, RR."
        : cell.Source is ZeroSource.None or ZeroSource.Borrowed || !Enum.IsDefined(cell.Source) ? "a zero that its own run did not show does not belong here."
        : !(Math.Abs(cell.StartN) <= LargestN && Math.Abs(cell.EndN) <= LargestN) ? "the zero is no plausible number of newtons."
        : !(cell.StandardUncertaintyN >= 0 && cell.StandardUncertaintyN <= LargestN && cell.OwnUncertaintyN >= 0 && cell.OwnUncertaintyN <= LargestN) ? "an uncertainty is no plausible number of newtons."
        : !(Math.Abs(cell.Gain) is >= 0.01 and <= 100) ? "the gain is not plausible; it lies near 1."
        : cell.TemperatureK is double kelvin && !(kelvin is >= 200 and <= 500) ? "the temperature is not plausible; it is in K."
        : cell.TravelZeroM is double metre && !(Math.Abs(metre) <= 10) ? "the damper's static reading is not plausible; it is in m."
        : null;

    private static bool IsName(string? text) => !string.IsNullOrWhiteSpace(text) && text.Length <= LongestName;

    private static string Where(JsonException error)
    {
        string at = error.BytePositionInLine is long position ? $"at character {position + 1}" : "in it";
        return error.Path is { Length: > 1 and < 100 } path ? $"{at}, {path.TrimStart('$', '.')}" : at;
    }
}
