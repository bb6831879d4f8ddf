namespace Telemetry.Tests.Output;

/// <summary>A folder that is gone after the test.</summary>
internal sealed class TemporaryFolder : IDisposable
{
    public TemporaryFolder() => Root = Directory.CreateTempSubdirectory("telemetry-tests-").FullName;

    public string Root { get; }

    public string this[params string[] parts] => Path.Combine([Root, .. parts]);

    public string Write(string name, string text)
    {
        string path = this[name];
        Directory.CreateDirectory(Path.GetDirectoryName(path)!);
        File.WriteAllText(path, text);
        return path;
    }

    public void Dispose() => Directory.Delete(Root, recursive: true);
}
