namespace Telemetry.Output;

/// <summary>Writes single files whole or not at all: beside their place, then renamed.</summary>
public static class WholeFiles
{
    /// <summary>Writes files; none takes its place before all are complete.</summary>
    /// <param name="files">Path and content of each; a file that is there is replaced.</param>
    /// <exception cref="OutputError">The file system refuses; files that were there stay as they were.</exception>
    public static void Write(params IReadOnlyList<(string Path, Action<Stream> Write)> files)
    {
        ArgumentNullException.ThrowIfNull(files);
        List<string> drafts = [];
        string current = "";
        try
        {
            foreach ((string path, Action<Stream> write) in files)
            {
                current = path;
                string full = Path.GetFullPath(path);
                Directory.CreateDirectory(Path.GetDirectoryName(full)!);
                string draft = Path.Combine(Path.GetDirectoryName(full)!, $".{DraftNames.Beside(full)}.partial");
                drafts.Add(draft);
                using FileStream stream = new(draft, FileMode.CreateNew, FileAccess.Write, FileShare.None, 1 << 16);
                write(stream);
            }

            for (int i = 0; i < files.Count; i++)
            {
                current = files[i].Path;
                File.Move(drafts[i], files[i].Path, overwrite: true);
            }
        }
        catch (Exception error) when (error is IOException or UnauthorizedAccessException)
        {
            throw new OutputError(
                current,
                $"The file could not be written ({FileSystemWords.Of(error)}).",
                "Choose a place that you may write to, with space left, with --out.",
                error);
        }
        finally
        {
            foreach (string draft in drafts.Where(File.Exists))
            {
                File.Delete(draft);
            }
        }
    }
}
