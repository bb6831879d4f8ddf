using System.Text.Json;
using System.Text.Json.Serialization.Metadata;

namespace Telemetry.Ledger;

/// <summary>Writes a file that is kept over runs: a head line, then one JSON object a line (UTF-8).</summary>
internal static class KeptFile
{
    /// <summary>Writes whole or not at all: beside the file and down to the disk, then in its place.</summary>
    /// <param name="path">The file; replaced when it exists.</param>
    /// <param name="head">The first line.</param>
    /// <param name="headType">How the first line becomes JSON.</param>
    /// <param name="lines">The other lines.</param>
    /// <param name="lineType">How a line becomes JSON.</param>
    /// <exception cref="IOException">The file could not be written; the old one is untouched.</exception>
    /// <exception cref="UnauthorizedAccessException">The file may not be written; the old one is untouched.</exception>
    public static void Write<THead, TLine>(string path, THead head, JsonTypeInfo<THead> headType, IEnumerable<TLine> lines, JsonTypeInfo<TLine> lineType)
    {
        string beside = Beside(path);
        try
        {
            using (FileStream stream = new(beside, FileMode.Create, FileAccess.Write))
            {
                WriteLine(stream, head, headType);
                foreach (TLine line in lines)
                {
                    WriteLine(stream, line, lineType);
                }

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

    /// <summary>Makes sure that a file could be written now, by making and removing the one that is written beside it.</summary>
    /// <param name="path">The file; it is not touched.</param>
    /// <exception cref="IOException">The folder is not there, or the file system refuses.</exception>
    /// <exception cref="UnauthorizedAccessException">The folder may not be written to.</exception>
    public static void RequireWritable(string path)
    {
        string beside = Beside(path);
        new FileStream(beside, FileMode.Create, FileAccess.Write).Dispose();
        File.Delete(beside);
    }

    private static string Beside(string path) => path + ".part";

    private static void WriteLine<T>(Stream stream, T line, JsonTypeInfo<T> type)
    {
        JsonSerializer.Serialize(stream, line, type);
        stream.WriteByte((byte)'\n');
    }
}
