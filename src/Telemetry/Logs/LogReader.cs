using System.Security.Cryptography;

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
        return Opened(path, source => Read(source, path, options));
    }

    /// <summary>Reads a log and forms the hash of the very bytes that were read, so that a file that changes meanwhile is never known by another's hash.</summary>
    /// <param name="path">The file.</param>
    /// <param name="options">What the file itself leaves open.</param>
    /// <param name="contentHash">SHA-256 of the file's bytes (FIPS 180-4), 64 lower-case hexadecimal digits.</param>
    /// <returns>As <see cref="Read(string, LogOptions)"/>.</returns>
    /// <exception cref="InputError">As <see cref="Read(string, LogOptions)"/>.</exception>
    public static RunLog Read(string path, LogOptions options, out string contentHash)
    {
        ArgumentException.ThrowIfNullOrEmpty(path);
        ArgumentNullException.ThrowIfNull(options);
        string hash = "";
        RunLog log = Opened(path, source =>
        {
            if (source.Length > MostBytesInMemory)
            {
                using SourceStream stream = new(source);
                hash = Convert.ToHexStringLower(SHA256.HashData(stream));
                return Read(source, path, options);
            }

            byte[] bytes = source.ReadRange(0, source.Length);
            hash = Convert.ToHexStringLower(SHA256.HashData(bytes));
            using MemorySource held = new(bytes);
            return Read(held, path, options);
        });
        contentHash = hash;
        return log;
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

        if (GzipFile.Is(start))
        {
            using ChunkedSource unpacked = GzipFile.Unpack(source, fileName);
            start = stackalloc byte[2];
            return GzipFile.Is(start[..unpacked.Read(0, start)])
                ? throw new InputError(fileName, "The file is packed twice with gzip.", "Unpack it once and read the result.")
                : Read(unpacked, path, options, partBytes);
        }

        FileKinds.Refuse(source, fileName);
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

    /// <summary>Opens a file and does something with it; what the file system says becomes an input error.</summary>
    internal static T Opened<T>(string path, Func<LogSource, T> read)
    {
        string fileName = Path.GetFileName(path);
        try
        {
            using LogSource source = Open(path, fileName);
            return read(source);
        }
        catch (OutOfMemoryException)
        {
            throw new InputError(fileName, "The log does not fit into the memory of this machine.", "Cut it into its runs with 'pushrod cut', or read it on a larger machine.");
        }
        catch (Exception trouble) when (trouble is IOException or UnauthorizedAccessException)
        {
            throw CannotBeRead(fileName, trouble);
        }
    }

    /// <summary>The error for a file that opens and then cannot be read.</summary>
    internal static InputError CannotBeRead(string fileName, Exception trouble) =>
        new(fileName, $"The file cannot be read ({FirstSentence(trouble.Message)}).", "Check the disk and the rights on the file, then read it again.");

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
        catch (NotSupportedException)
        {
            throw new InputError(path, "This is a pipe or a device, which cannot be read at any place.", "Write its content to a file first, and name that.");
        }
        catch (UnauthorizedAccessException)
        {
            throw new InputError(fileName, "The file may not be read by this user.", "Give yourself the right to read it, or copy it to a folder of your own.");
        }
    }

    private static string FirstSentence(string message)
    {
        int end = message.IndexOf('.', StringComparison.Ordinal);
        return (end > 0 ? message[..end] : message).ReplaceLineEndings(" ");
    }
}
