using System.IO.Compression;

namespace Telemetry.Logs;

/// <summary>Reads a run's log, CSV or Parquet, plain or gzip; what the bytes are is found from the bytes, not from the file's name.</summary>
public static class LogReader
{
    /// <summary>Most bytes that an unpacked or transcoded log may have: it is then held in one array.</summary>
    internal const int MostBytesInMemory = 2_000_000_000;

    /// <summary>Reads a log.</summary>
    /// <param name="path">The file.</param>
    /// <param name="options">What the file itself leaves open.</param>
    /// <returns>All number columns as channels with their own time bases, and what was noticed on the way.</returns>
    /// <exception cref="InputError">The file cannot be opened, or is no log that can be trusted as it stands; all faults together.</exception>
    public static RunLog Read(string path, LogOptions options)
    {
        ArgumentException.ThrowIfNullOrEmpty(path);
        ArgumentNullException.ThrowIfNull(options);
        string fileName = Path.GetFileName(path);
        try
        {
            using LogSource source = Open(path, fileName);
            return Read(source, path, options);
        }
        catch (Exception trouble) when (trouble is IOException or UnauthorizedAccessException)
        {
            throw new InputError(fileName, $"The file cannot be read ({FirstSentence(trouble.Message)}).", "Check the disk and the rights on the file, then read it again.");
        }
    }

    /// <summary>Reads a log from bytes in memory, as <see cref="Read(string, LogOptions)"/> reads a file.</summary>
    /// <param name="bytes">The file's bytes.</param>
    /// <param name="path">The name that errors and the run are given.</param>
    /// <param name="options">What the bytes leave open.</param>
    /// <exception cref="InputError">The bytes are no log that can be trusted as it stands.</exception>
    public static RunLog Read(ReadOnlyMemory<byte> bytes, string path, LogOptions options)
    {
        ArgumentException.ThrowIfNullOrEmpty(path);
        ArgumentNullException.ThrowIfNull(options);
        using MemorySource source = new(bytes);
        return Read(source, path, options);
    }

    /// <summary>Reads with a chosen size of the parts that are parsed at the same time, for the test that it changes nothing.</summary>
    internal static RunLog Read(LogSource source, string path, LogOptions options, int partBytes = CsvParts.DefaultPartBytes)
    {
        string fileName = Path.GetFileName(path);
        Span<byte> start = stackalloc byte[4];
        start = start[..source.Read(0, start)];
        if (start.StartsWith("PAR1"u8))
        {
            return ParquetLogReader.Read(source, path, options);
        }

        if (start.StartsWith("\u001f"u8) && start.Length > 1 && start[1] == 0x8B)
        {
            using MemorySource unpacked = new(Unpack(source, fileName));
            start = stackalloc byte[2];
            if (unpacked.Read(0, start) == 2 && start[0] == 0x1F && start[1] == 0x8B)
            {
                throw new InputError(fileName, "The file is packed twice with gzip.", "Unpack it once and read the result.");
            }

            return Read(unpacked, path, options, partBytes);
        }

        using LogSource text = TextEncoding.ToUtf8(source, fileName);
        return CsvLogReader.Read(text, path, options, partBytes);
    }

    /// <summary>Name of the run: the file's name without its endings.</summary>
    internal static string RunName(string path)
    {
        string name = Path.GetFileName(path);
        foreach (string ending in (ReadOnlySpan<string>)[".gz", ".csv", ".txt", ".tsv", ".dat", ".parquet"])
        {
            if (name.EndsWith(ending, StringComparison.OrdinalIgnoreCase) && name.Length > ending.Length)
            {
                name = name[..^ending.Length];
            }
        }

        return name;
    }

    private static FileSource Open(string path, string fileName)
    {
        if (Directory.Exists(path))
        {
            throw new InputError(path, "This is a folder, not a log.", "Name one CSV or Parquet file in it.");
        }

        try
        {
            return new FileSource(File.OpenHandle(path));
        }
        catch (Exception trouble) when (trouble is FileNotFoundException or DirectoryNotFoundException)
        {
            throw new InputError(path, "There is no such file.", "Check the name and the folder.");
        }
        catch (UnauthorizedAccessException)
        {
            throw new InputError(fileName, "The file may not be read by this user.", "Give yourself the right to read it, or copy it to a folder of your own.");
        }
    }

    private static ReadOnlyMemory<byte> Unpack(LogSource source, string fileName)
    {
        // Deflate makes at most 1032 bytes of one; a larger claim at the end of the file is not believed.
        const long mostPerByte = 1032;
        long claimed = Math.Min(GzipTrailer.ClaimedLength(source), Math.Min(source.Length * mostPerByte, MostBytesInMemory));
        MemoryStream unpacked = new((int)Math.Min(claimed, 1 << 28));
        try
        {
            using SourceStream packed = new(source);
            using GZipStream stream = new(packed, CompressionMode.Decompress);
            byte[] buffer = new byte[1 << 17];
            int got;
            while ((got = stream.Read(buffer)) > 0)
            {
                if (unpacked.Length + got > MostBytesInMemory)
                {
                    throw new InputError(fileName, "The gzip file unpacks to more than 2 GB.", "Unpack it and read the plain file, or cut the run into shorter ones.");
                }

                unpacked.Write(buffer, 0, got);
            }
        }
        catch (InvalidDataException)
        {
            throw new InputError(fileName, "The gzip file is damaged or stops early.", "Copy it again from the logger, or unpack what can be saved and read that.");
        }

        ReadOnlyMemory<byte> bytes = unpacked.GetBuffer().AsMemory(0, (int)unpacked.Length);
        return GzipTrailer.Fits(source, bytes.Span)
            ? bytes
            : throw new InputError(fileName, "The gzip file is damaged or stops early.", "Copy it again from the logger, or unpack what can be saved and read that.");
    }

    private static string FirstSentence(string message)
    {
        int end = message.IndexOf('.', StringComparison.Ordinal);
        return (end > 0 ? message[..end] : message).ReplaceLineEndings(" ");
    }
}
