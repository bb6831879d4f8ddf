using System.Diagnostics;
using System.Globalization;
using System.Reflection;
using Telemetry.Notebooks;

const string usage = """
    Runs C# notebooks from top to bottom, without an editor or a kernel.

      run-notebooks [--write] [FILE.ipynb ...]

    Without a file: all notebooks of the folder notebooks/.
    --write   put the outputs into the files; a notebook that fails is left as it was.
    Exit: 0 all ran; 1 a cell did not compile or threw; 2 wrong usage.
    """;

CultureInfo.DefaultThreadCurrentCulture = CultureInfo.InvariantCulture;
CultureInfo.CurrentCulture = CultureInfo.InvariantCulture;
List<string> files = [];
bool write = false;
foreach (string argument in args)
{
    if (argument is "--help" or "-h")
    {
        Console.WriteLine(usage);
        return 0;
    }
    else if (argument == "--write")
    {
        write = true;
    }
    else if (argument.StartsWith('-'))
    {
        Console.Error.WriteLine($"There is no option {argument}.\n\n{usage}");
        return 2;
    }
    else
    {
        files.Add(argument);
    }
}

if (files.Count == 0)
{
    string root = typeof(Program).Assembly.GetCustomAttributes<AssemblyMetadataAttribute>().First(a => a.Key == "RepositoryRoot").Value!;
    string folder = Path.Combine(root, "notebooks");
    files.AddRange(Directory.EnumerateFiles(folder, "*.ipynb").Order(StringComparer.Ordinal).Select(path => Path.GetRelativePath(Environment.CurrentDirectory, path)));
    if (files.Count == 0)
    {
        Console.Error.WriteLine($"{folder} holds no notebook.");
        return 2;
    }
}

int failed = 0;
foreach (string file in files)
{
    long start = Stopwatch.GetTimestamp();
    try
    {
        NotebookFile notebook = NotebookFile.Read(file);
        List<int> differing = await NotebookRun.Execute(notebook);
        if (write)
        {
            notebook.Write();
        }

        string outcome = differing.Count == 0 ? "" : write ? $"; new text below cell {string.Join(", ", differing)}" : $"; the text below cell {string.Join(", ", differing)} differs from the file, --write renews it";
        Console.Out.WriteLine(FormattableString.Invariant($"{file}: {notebook.Cells.Count} cells ran in {Stopwatch.GetElapsedTime(start).TotalSeconds:0.0} s{outcome}"));
    }
    catch (NotebookException error)
    {
        failed++;
        Console.Error.WriteLine(error.Message);
    }
}

return failed == 0 ? 0 : 1;
