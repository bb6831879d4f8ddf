namespace Telemetry.Ledger;

/// <summary>Writes a file that is kept over runs.</summary>
internal static class KeptFile
{
    /// <summary>Writes whole or not at all: beside the file and down to the disk, then in its place.</summary>
    /// <param name="path">The file; replaced when it exists.</param>
    /// <param name="write">Writes its content from the start.</param>
    /// <exception cref="IOException">The file could not be written; the old one is untouched.</exception>
    /// <exception cref="UnauthorizedAccessException">The file may not be written; the old one is untouched.</exception>
    public static void Write(string path, Action<Stream> write)
    {
        string beside = path + ".part";
        try
        {
            using (FileStream stream = new(beside, FileMode.Create, FileAccess.Write))
            {
                write(stream);
                stream.Flush(flushToDisk: true);
            }

            File.Move(beside, path, overwrite: true);
        }
        catch
        {
            File.Delete(beside);
            throw;
        }
    }
}
