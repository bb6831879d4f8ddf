using System.Diagnostics;
using System.Text.Json;

namespace Telemetry.Tests.Notebooks;

/// <summary>
/// The command that runs notebooks, started as a user starts it. The form of the outputs is that of nbformat 4.5,
/// chapter "The notebook format", code cell outputs (from memory).
/// </summary>
public sealed class NotebookRunnerTests : IDisposable
{
    private readonly string folder = Directory.CreateTempSubdirectory("notebooks").FullName;

    public void Dispose() => Directory.Delete(folder, recursive: true);

    [Fact]
    public void Every_fault_names_its_notebook_cell_and_line_and_the_exit_code_is_1()
    {
        string[] names = ["runs", "throws", "throws_in_library", "does_not_compile", "forgets_the_library", "other_kernel", "no_notebook"];
        string[] paths = [.. names.Select(n => Copy(n, n)), Path.Combine(folder, "missing.ipynb")];
        (int exit, string output, string error) = Start(paths);
        string[] faults = error.Replace(folder + Path.DirectorySeparatorChar, "", StringComparison.Ordinal).Split('\n', StringSplitOptions.RemoveEmptyEntries);
        Assert.Equal(1, exit);
        Assert.Contains("runs.ipynb: 5 cells ran", output, StringComparison.Ordinal);

        // Cells count code cells, lines count within the cell; both by reading the notebooks.
        Assert.Collection(
            faults,
            f => Assert.Equal("throws.ipynb, cell 1, line 6: ArgumentException: below zero", f),
            f => Assert.StartsWith("throws_in_library.ipynb, cell 1, line 4: InputError: ", f, StringComparison.Ordinal),
            f => Assert.StartsWith("does_not_compile.ipynb, cell 2, line 2: CS0029: ", f, StringComparison.Ordinal),
            f => Assert.StartsWith("forgets_the_library.ipynb, cell 1, line 1: CS0246: ", f, StringComparison.Ordinal),
            f => Assert.StartsWith("other_kernel.ipynb: is written for the kernel 'python3'", f, StringComparison.Ordinal),
            f => Assert.Equal("no_notebook.ipynb: is no notebook: its line 1 is not JSON.", f),
            f => Assert.StartsWith("missing.ipynb: cannot be read", f, StringComparison.Ordinal));

        // Without --write no file changes.
        Assert.All(names, n => Assert.Equal(File.ReadAllBytes(Repository.Data("notebooks", n + ".ipynb")), File.ReadAllBytes(Path.Combine(folder, n + ".ipynb"))));
    }

    [Fact]
    public void Outputs_are_written_back_in_order_and_the_same_each_time_and_a_notebook_that_fails_is_left_as_it_was()
    {
        string path = Copy("runs", "first"), again = Copy("runs", "second"), failing = Copy("throws", "failing");
        Assert.Equal(1, Start(["--write", path, again, failing]).Exit);
        Assert.Equal(File.ReadAllBytes(path), File.ReadAllBytes(again));
        Assert.Equal(File.ReadAllBytes(Repository.Data("notebooks", "throws.ipynb")), File.ReadAllBytes(failing));
        Assert.Equal(3, Directory.EnumerateFileSystemEntries(folder).Count());

        using JsonDocument was = JsonDocument.Parse(File.ReadAllText(Repository.Data("notebooks", "runs.ipynb")));
        using JsonDocument now = JsonDocument.Parse(File.ReadAllText(path));
        JsonElement[] cells = [.. now.RootElement.GetProperty("cells").EnumerateArray()];
        Assert.Equal(was.RootElement.GetProperty("cells")[0].GetRawText(), cells[0].GetRawText());
        Assert.Empty(cells[1].GetProperty("outputs").EnumerateArray());
        Assert.Equal([1, 2, 3, 4, 5], cells[1..].Select(c => c.GetProperty("execution_count").GetInt32()));
        Assert.Equal(
            ["stream", "display_data", "stream", "execute_result"],
            cells[2].GetProperty("outputs").EnumerateArray().Select(o => o.GetProperty("output_type").GetString()));
        Assert.Equal("42", cells[2].GetProperty("outputs")[3].GetProperty("data").GetProperty("text/plain")[0].GetString());
        Assert.Equal(["one\n", "two"], cells[3].GetProperty("outputs")[0].GetProperty("data").GetProperty("text/plain").EnumerateArray().Select(l => l.GetString()));
        Assert.Equal([1, 2, 3], cells[4].GetProperty("outputs")[0].GetProperty("data").GetProperty("image/png").GetBytesFromBase64());
    }

    [Fact]
    public void An_unknown_option_is_wrong_usage() => Assert.Equal(2, Start(["--wirte"]).Exit);

    [Fact]
    public void Every_notebook_of_the_project_runs_from_top_to_bottom()
    {
        (int exit, _, string error) = Start([]);
        Assert.True(exit == 0, error);
    }

    private string Copy(string name, string copy)
    {
        string path = Path.Combine(folder, copy + ".ipynb");
        File.Copy(Repository.Data("notebooks", name + ".ipynb"), path);
        return path;
    }

    private static (int Exit, string Output, string Error) Start(string[] arguments)
    {
        // .artifacts/bin/Telemetry.Tests/debug -> .artifacts/bin/Telemetry.Notebooks/debug
        DirectoryInfo own = new(AppContext.BaseDirectory.TrimEnd(Path.DirectorySeparatorChar));
        string command = Path.Combine(own.Parent!.Parent!.FullName, "Telemetry.Notebooks", own.Name, "run-notebooks.dll");
        ProcessStartInfo info = new(Environment.ProcessPath is { } host && Path.GetFileNameWithoutExtension(host) == "dotnet" ? host : "dotnet", [command, .. arguments])
        {
            RedirectStandardOutput = true,
            RedirectStandardError = true,
        };
        using Process process = Process.Start(info)!;
        Task<string> error = process.StandardError.ReadToEndAsync();
        string output = process.StandardOutput.ReadToEnd();
        process.WaitForExit();
        return (process.ExitCode, output.ReplaceLineEndings("\n"), error.Result.ReplaceLineEndings("\n"));
    }
}
