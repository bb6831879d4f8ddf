using System.Collections.Immutable;
using System.Diagnostics;
using System.Text;
using System.Text.Json.Nodes;
using Microsoft.CodeAnalysis;
using Microsoft.CodeAnalysis.CSharp.Scripting;
using Microsoft.CodeAnalysis.Scripting;
using Microsoft.CodeAnalysis.Scripting.Hosting;

namespace Telemetry.Notebooks;

/// <summary>Runs the code cells of a notebook from top to bottom in this process.</summary>
internal static class NotebookRun
{
    /// <summary>Namespaces that the interactive kernel opens by itself.</summary>
    private static readonly string[] Imports = ["System", "System.Collections", "System.Collections.Generic", "System.IO", "System.Linq", "System.Text", "System.Threading.Tasks"];

    private static readonly ImmutableArray<string> Framework =
        [.. Directory.EnumerateFiles(Path.GetDirectoryName(typeof(object).Assembly.Location)!, "System*.dll").Order(StringComparer.Ordinal)];

    /// <summary>Runs every cell and puts its outputs into the notebook in memory.</summary>
    /// <returns>Numbers of the cells whose text differs from what the file held.</returns>
    /// <remarks>The current directory is the notebook's folder while it runs, as in an editor; the console is caught.</remarks>
    /// <exception cref="NotebookException">A cell does not compile or throws; the cells after it are not run.</exception>
    public static async Task<List<int>> Execute(NotebookFile notebook)
    {
        string folder = Path.GetDirectoryName(Path.GetFullPath(notebook.Path))!;
        string startedIn = Environment.CurrentDirectory;
        TextWriter console = Console.Out;
        CellGlobals globals = new();
        using InteractiveAssemblyLoader loader = new();
        loader.RegisterDependency(typeof(CellGlobals).Assembly);
        ScriptOptions options = ScriptOptions.Default
            .WithReferences(Framework.Select(path => MetadataReference.CreateFromFile(path)))
            .WithImports(Imports)
            .WithMetadataResolver(new LibraryReferences(folder, loader))
            .WithEmitDebugInformation(true)
            .WithFileEncoding(Encoding.UTF8);
        List<int> differing = [];
        ScriptState<object>? state = null;
        try
        {
            Environment.CurrentDirectory = folder;
            Console.SetOut(globals.Console);
            foreach (CodeCell cell in notebook.Cells)
            {
                // The cell's number stands in its path, so that a throw from a method of an earlier cell is charged to that cell.
                ScriptOptions named = options.WithFilePath(PathOf(folder, cell.Number));
                state = state is null
                    ? await CSharpScript.Create<object>(cell.Source, named, typeof(CellGlobals), loader).RunAsync(globals, _ => true).ConfigureAwait(false)
                    : await state.ContinueWithAsync<object>(cell.Source, named, _ => true).ConfigureAwait(false);
                if (state.Exception is { } thrown)
                {
                    throw new NotebookException(Place(notebook, folder, cell, thrown));
                }

                List<JsonObject> outputs = globals.TakeOutputs();
                if (state.ReturnValue is { } value)
                {
                    outputs.Add(CellOutput.Result(value, cell.Number));
                }

                JsonArray array = [.. outputs];
                if (CodeCell.TextOf(array) != cell.TextOfOutputs)
                {
                    differing.Add(cell.Number);
                }

                cell.Put(array);
            }
        }
        catch (CompilationErrorException error)
        {
            throw new NotebookException(Place(notebook, error));
        }
        finally
        {
            Console.SetOut(console);
            Environment.CurrentDirectory = startedIn;
        }

        return differing;
    }

    private static string PathOf(string folder, int cell) => Path.Combine(folder, FormattableString.Invariant($"cell {cell}"));

    private static int CellOf(string? path) =>
        Path.GetFileName(path) is { } name && name.StartsWith("cell ", StringComparison.Ordinal) && int.TryParse(name.AsSpan(5), out int number) ? number : 0;

    private static CellFault Place(NotebookFile notebook, CompilationErrorException error)
    {
        Diagnostic first = error.Diagnostics.First(d => d.Severity == DiagnosticSeverity.Error);
        FileLinePositionSpan span = first.Location.GetLineSpan();
        return new(notebook.Path, CellOf(span.Path), span.StartLinePosition.Line + 1, $"{first.Id}: {first.GetMessage(System.Globalization.CultureInfo.InvariantCulture)}");
    }

    /// <summary>The innermost line of a cell on the way of a throw; a throw inside the library is charged to the line that called it.</summary>
    private static CellFault Place(NotebookFile notebook, string folder, CodeCell cell, Exception thrown)
    {
        foreach (StackFrame frame in new StackTrace(thrown, fNeedFileInfo: true).GetFrames())
        {
            string? path = frame.GetFileName();
            if (CellOf(path) is > 0 and int number && Path.GetDirectoryName(path) == folder)
            {
                return new(notebook.Path, number, frame.GetFileLineNumber(), Message(thrown));
            }
        }

        return new(notebook.Path, cell.Number, 0, Message(thrown));
    }

    private static string Message(Exception thrown) => $"{thrown.GetType().Name}: {thrown.Message}";
}
