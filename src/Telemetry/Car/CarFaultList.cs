namespace Telemetry.Car;

/// <summary>Collects what is wrong in a car file, so that all of it is told in one go in the order of the lines.</summary>
internal sealed class CarFaultList(string file)
{
    private readonly List<(int Line, InputFault Fault)> faults = [];
    private readonly List<(int Line, InputFault Fault)> warnings = [];
    private readonly List<string> paths = [];

    /// <summary>The file as it was given.</summary>
    public string File { get; } = file;

    /// <summary>True when part of the text is no TOML; a field that seems missing may stand on such a line.</summary>
    public bool HasSyntaxFault { get; private set; }

    /// <summary>True when the file cannot be used.</summary>
    public bool Any => faults.Count > 0;

    /// <summary>A fault at a field.</summary>
    public void Add(int line, string path, string found, string remedy)
    {
        paths.Add(path);
        faults.Add((line, new InputFault(Where(line, path), found, remedy)));
    }

    /// <summary>Something that a person should look at, and that does not stop the file from being used.</summary>
    public void Warn(int line, string path, string found, string remedy) =>
        warnings.Add((line, new InputFault(Where(line, path), found, remedy)));

    /// <summary>A required field that is not there; held back while the text itself is broken.</summary>
    public void Missing(int line, string path, string found, string remedy)
    {
        if (!HasSyntaxFault)
        {
            Add(line, path, found, remedy);
        }
    }

    /// <summary>The file as a whole cannot be used.</summary>
    public void WholeFile(string found, string remedy) => faults.Add((0, new InputFault(File, found, remedy)));

    /// <summary>A line that is no TOML.</summary>
    public void Syntax(int line, string message)
    {
        HasSyntaxFault = true;
        faults.Add((line, new InputFault(
            $"{File}, line {line}",
            $"this is not TOML: {message.TrimEnd('.')}.",
            "Correct the line; texts stand in double quotes, names and values are joined by \"=\".")));
    }

    /// <summary>True when a fault was noted at a field or at one below it.</summary>
    public bool HasFaultAt(string path) => paths.Exists(p =>
        p.StartsWith(path, StringComparison.Ordinal) && (p.Length == path.Length || p[path.Length] is '.' or '['));

    /// <summary>A name that is written twice.</summary>
    public void Twice(int line, string path, int firstLine) =>
        Add(line, path, $"is written twice; it first stands on line {firstLine}.", "Keep one of the two.");

    /// <summary>The faults, by line.</summary>
    public IReadOnlyList<InputFault> Faults => [.. faults.OrderBy(f => f.Line).Select(f => f.Fault)];

    /// <summary>The warnings, by line.</summary>
    public IReadOnlyList<InputFault> Warnings => [.. warnings.OrderBy(f => f.Line).Select(f => f.Fault)];

    private string Where(int line, string path) =>
        path.Length == 0 ? $"{File}, line {line}" : $"{File}, line {line}, {path}";
}
