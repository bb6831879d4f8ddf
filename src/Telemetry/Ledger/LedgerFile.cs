using System.Collections.Immutable;
using System.Text;
using System.Text.Json;

namespace Telemetry.Ledger;

/// <summary>The ledger of the old form, a text file: a head line, then one JSON object a line and run (UTF-8). It is read only, to be taken over into a database.</summary>
internal static class LedgerFile
{
    private const int FormatVersion = 1;

    /// <summary>Reads a ledger; a missing file is an empty one.</summary>
    internal static LifeLedger Read(string path)
    {
        ArgumentException.ThrowIfNullOrEmpty(path);
        try
        {
            return !File.Exists(path) && !Directory.Exists(path) ? LifeLedger.Empty : Parse(path, File.ReadAllBytes(path));
        }
        catch (Exception error) when (error is IOException or UnauthorizedAccessException)
        {
            throw new InputError([new InputFault(path, $"the ledger cannot be read: {error.Message}", "Name another file, or correct its rights.")]);
        }
    }

    /// <summary>The ledger that a file's bytes hold.</summary>
    internal static LifeLedger Parse(string path, byte[] bytes)
    {
        string[] lines;
        try
        {
            // As File.ReadAllLines takes them: a mark at the start is passed over, the last line may end with a break.
            using StreamReader reader = new(new MemoryStream(bytes), new UTF8Encoding(false, throwOnInvalidBytes: true));
            List<string> read = [];
            while (reader.ReadLine() is string line)
            {
                read.Add(line);
            }

            lines = [.. read];
        }
        catch (DecoderFallbackException)
        {
            throw new InputError(path, "the ledger is not UTF-8 text; it is damaged, or no ledger.", "Restore the ledger from a copy, or name another file.");
        }

        List<InputFault> faults = [];
        ImmutableArray<RunEntry>.Builder runs = ImmutableArray.CreateBuilder<RunEntry>();
        CheckHead(path, lines, faults);
        for (int i = 1; i < lines.Length && faults.Count < 20; i++)
        {
            if (Parse(lines[i], out RunEntry? run) is { } fault)
            {
                faults.Add(new InputFault($"{path}, line {i + 1}", fault, "Restore the ledger from a copy, or remove the line if the run may be forgotten."));
            }
            else if (runs.FirstOrDefault(earlier => earlier.LogHash == run!.LogHash) is { } twice)
            {
                faults.Add(new InputFault($"{path}, line {i + 1}", $"the log of run '{run!.Run}' is in the ledger already, as run '{twice.Run}'.", "Remove one of the two lines."));
            }
            else
            {
                runs.Add(run!);
            }
        }

        return faults.Count == 0 ? new(runs.ToImmutable()) : throw new InputError(faults);
    }

    private static void CheckHead(string path, string[] lines, List<InputFault> faults)
    {
        int? version = null;
        try
        {
            version = lines.Length == 0 ? null : JsonSerializer.Deserialize(lines[0], LedgerJson.Default.LedgerHead)?.LifeLedger;
        }
        catch (JsonException)
        {
            // Told below as any other head that is none.
        }

        if (version != FormatVersion)
        {
            string found = version is { } other && other > 0 ? $"is a ledger of format {other}; this program reads format {FormatVersion}." : "is not the head of a life ledger.";
            faults.Add(new InputFault($"{path}, line 1", found, "Name a ledger file that this program wrote, or a file that does not exist yet."));
        }
    }

    /// <summary>Reads a line; returns what is wrong with it, or null.</summary>
    private static string? Parse(string line, out RunEntry? run)
    {
        run = null;
        try
        {
            run = JsonSerializer.Deserialize(line, LedgerJson.Default.RunEntry);
        }
        catch (JsonException error)
        {
            return $"is no entry of a run: {error.Message}";
        }

        if (run is null || string.IsNullOrEmpty(run.Run) || string.IsNullOrEmpty(run.LogHash) || run.Components.IsDefault)
        {
            return "lacks the run's name, the log's hash or the components.";
        }

        HashSet<string> ids = new(StringComparer.Ordinal);
        foreach (ComponentEntry part in run.Components)
        {
            if (string.IsNullOrEmpty(part.Id) || !ids.Add(part.Id))
            {
                return $"has a component without an id, or the id '{part.Id}' twice.";
            }

            if (part.ResidueN.IsDefault)
            {
                return $"lacks the open turning points of component '{part.Id}'.";
            }
        }

        return null;
    }
}
