using System.Text;
using System.Text.Encodings.Web;
using System.Text.Json;
using System.Text.Json.Nodes;

namespace Telemetry.Notebooks;

/// <summary>A notebook file (nbformat 4): its code cells can be read and given outputs; whatever else it holds stays as it is.</summary>
internal sealed class NotebookFile
{
    // One space a level and characters left as they are: how Jupyter itself writes a notebook, so that a difference shows only what changed.
    private static readonly JsonSerializerOptions Form = new()
    {
        WriteIndented = true,
        IndentSize = 1,
        NewLine = "\n",
        Encoder = JavaScriptEncoder.UnsafeRelaxedJsonEscaping,
    };

    private readonly JsonObject root;

    private NotebookFile(string path, JsonObject root, List<CodeCell> cells)
    {
        Path = path;
        this.root = root;
        Cells = cells;
    }

    /// <summary>Path as it was given.</summary>
    public string Path { get; }

    /// <summary>Code cells from top to bottom.</summary>
    public IReadOnlyList<CodeCell> Cells { get; }

    /// <summary>Reads a notebook.</summary>
    /// <exception cref="NotebookException">The file is missing, is no notebook, or is written for another kernel.</exception>
    public static NotebookFile Read(string path)
    {
        try
        {
            JsonObject root = JsonNode.Parse(File.ReadAllText(path)) as JsonObject ?? throw Fault(path, "is no notebook: it is no JSON object.");
            if (root["nbformat"]?.GetValue<int>() != 4 || root["cells"] is not JsonArray cells)
            {
                throw Fault(path, "is no notebook of format 4. Save it again from a notebook editor.");
            }

            string? kernel = root["metadata"]?["kernelspec"]?["name"]?.GetValue<string>();
            return kernel == ".net-csharp"
                ? new(path, root, [.. cells.OfType<JsonObject>().Where(c => c["cell_type"]?.GetValue<string>() == "code").Select((c, i) => new CodeCell(i + 1, c))])
                : throw Fault(path, $"is written for the kernel '{kernel ?? "none"}'; only .net-csharp can be run. Choose the kernel '.NET (C#)'.");
        }
        catch (JsonException error)
        {
            throw Fault(path, $"is no notebook: its line {error.LineNumber + 1} is not JSON.");
        }
        catch (Exception error) when (error is InvalidOperationException or FormatException)
        {
            throw Fault(path, $"is no notebook: {error.Message}");
        }
        catch (Exception error) when (error is IOException or UnauthorizedAccessException)
        {
            throw Fault(path, $"cannot be read: {error.Message}");
        }
    }

    /// <summary>Writes the notebook back, whole or not at all.</summary>
    public void Write()
    {
        string beside = Path + ".part";
        File.WriteAllText(beside, ToJson(), new UTF8Encoding(false));
        File.Move(beside, Path, overwrite: true);
    }

    /// <summary>The notebook as JSON text with a line feed at its end.</summary>
    public string ToJson() => root.ToJsonString(Form) + "\n";

    private static NotebookException Fault(string path, string message) => new(new CellFault(path, 0, 0, message));
}

/// <summary>A cell that holds code.</summary>
/// <param name="Number">From 1, counting code cells only.</param>
/// <param name="Json">The cell in the file's tree.</param>
internal sealed record CodeCell(int Number, JsonObject Json)
{
    /// <summary>The code. The format allows one text or a list of lines.</summary>
    public string Source => Json["source"] is JsonArray lines
        ? string.Concat(lines.Select(l => l!.GetValue<string>()))
        : Json["source"]?.GetValue<string>() ?? "";

    /// <summary>Text that the outputs in the file show, to be compared; pictures are left out, because another version of the drawing library may pack them otherwise.</summary>
    public string TextOfOutputs => TextOf(Json["outputs"] as JsonArray ?? []);

    /// <summary>Puts outputs and the number of execution into the cell.</summary>
    public void Put(JsonArray outputs)
    {
        Json["execution_count"] = Number;
        Json["outputs"] = outputs;
    }

    /// <summary>The text of outputs, one after the other.</summary>
    public static string TextOf(JsonArray outputs)
    {
        StringBuilder text = new();
        foreach (JsonNode? output in outputs)
        {
            JsonNode? part = output?["text"] ?? output?["data"]?["text/plain"];
            text.Append(part is JsonArray lines ? string.Concat(lines.Select(l => l!.GetValue<string>())) : part?.GetValue<string>()).Append('\n');
        }

        return text.ToString();
    }
}
