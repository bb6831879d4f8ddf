using System.Globalization;
using System.IO.Compression;
using Parquet;

namespace Telemetry.Logs;

/// <summary>What can be said of a log without reading it whole: when it began and how large it will be in memory. Public entry for who has many logs to put in order.</summary>
/// <param name="StartedAtUtc">Wall-clock time of the first row; null when the log has no dates, or its beginning alone does not show them.</param>
/// <param name="Numbers">About how many numbers the columns hold that would be read; at least 1.</param>
public sealed record LogGlance(DateTimeOffset? StartedAtUtc, long Numbers)
{
    /// <summary>Enough rows to find header, units and dates, and read in a few milliseconds.</summary>
    private const int HeadBytes = 1 << 18;

    /// <summary>A number and its separator take at least so many bytes of text, where the beginning could not be read: errs to more memory.</summary>
    private const int LeastTextBytes = 3;

    /// <summary>Text packed with gzip grows by about so much; the length that a gzip file states is modulo 2^32 and of its last member only.</summary>
    private const int GzipGrowth = 6;

    /// <summary>No column has this name, so only the time column is read.</summary>
    private const string NoColumn = "\u0001";

    /// <summary>Looks at a log's beginning, or at its footer.</summary>
    /// <param name="path">The file.</param>
    /// <param name="options">How it will be read.</param>
    /// <returns>What could be seen. A file that is no log has no start; reading it says what is wrong with it.</returns>
    public static LogGlance Of(string path, LogOptions options)
    {
        ArgumentException.ThrowIfNullOrEmpty(path);
        ArgumentNullException.ThrowIfNull(options);
        try
        {
            using FileSource source = new(File.OpenHandle(path));
            Span<byte> start = stackalloc byte[4];
            start = start[..source.Read(0, start)];
            return start.StartsWith("PAR1"u8) ? OfParquet(source, path, options)
                : GzipFile.Is(start) ? OfText(Unpacked(source), source.Length * GzipGrowth, path, options)
                : OfText(source.ReadRange(0, Math.Min(HeadBytes, source.Length)), source.Length, path, options);
        }
        catch (Exception trouble) when (trouble is IOException or UnauthorizedAccessException or NotSupportedException or InputError)
        {
            return new(null, 1);
        }
    }

    private static byte[] Unpacked(LogSource source)
    {
        using SourceStream packed = new(source);
        using GZipStream stream = new(packed, CompressionMode.Decompress);
        byte[] head = new byte[HeadBytes];
        return head[..stream.ReadAtLeast(head, head.Length, throwOnEndOfStream: false)];
    }

    private static LogGlance OfText(byte[] head, long length, string path, LogOptions options)
    {
        int end = head.Length < length ? head.AsSpan().LastIndexOf((byte)'\n') + 1 : head.Length;
        if (end > 0)
        {
            try
            {
                RunLog log = LogReader.Read(head.AsMemory(0, end), path, options);
                long numbers = log.Channels.Sum(channel => (long)channel.Samples.Length) + log.Channels.Select(channel => (long)channel.Samples.Length).DefaultIfEmpty(0).Max();
                return new(log.StartedAtUtc, Math.Max(1, (long)(numbers * ((double)length / end))));
            }
            catch (InputError)
            {
                // The whole file will say what is wrong with it, or be read where its beginning alone cannot.
                if (options != LogOptions.Default)
                {
                    return OfText(head, length, path, LogOptions.Default);
                }
            }
        }

        return new(null, Math.Max(1, length / LeastTextBytes));
    }

    private static LogGlance OfParquet(FileSource source, string path, LogOptions options)
    {
        long numbers;
        string? stated;
        try
        {
            ParquetGuard.CheckFooter(source);
            ParquetReader reader = new ParquetFile(source, Path.GetFileName(path)).Open();
            int columns = ParquetColumns.Flat(reader).Length;
            numbers = Math.Max(1, (long)new ParquetFile(source, Path.GetFileName(path)).CountRows(reader, columns) * columns);
            stated = reader.CustomMetadata?.GetValueOrDefault(ParquetKeys.StartedAtUtc);
        }
        catch (Exception trouble) when (trouble is not InputError)
        {
            // As in the reader: damaged bytes make the library throw anything.
            return new(null, 1);
        }

        return DateTimeOffset.TryParse(stated, CultureInfo.InvariantCulture, DateTimeStyles.AssumeUniversal, out DateTimeOffset started)
            ? new(started, numbers)
            : new(LogReader.Read(path, options with { OnlyColumns = [NoColumn] }).StartedAtUtc, numbers);
    }
}
