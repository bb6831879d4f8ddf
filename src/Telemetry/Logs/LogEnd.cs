namespace Telemetry.Logs;

/// <summary>Tells whether a file that is being copied has arrived whole, from its end.</summary>
/// <remarks>
/// Parquet ends with the length of its footer and PAR1 (Apache Parquet format, "File Format"). A gzip member ends with checksum and length (RFC 1952, 2.3.1). Text has no such mark: a line
/// end is necessary and not sufficient, because a copy may pause between two rows; whoever asks also has to see that the file has stopped growing.
/// </remarks>
public static class LogEnd
{
    private const int ParquetTail = 8;

    /// <summary>Why a file cannot be whole yet; null when its end is that of a whole log.</summary>
    /// <param name="path">The file.</param>
    public static string? WhyNotWhole(string path)
    {
        ArgumentException.ThrowIfNullOrEmpty(path);
        try
        {
            using FileSource source = new(File.OpenHandle(path));
            return WhyNotWhole(source, Path.GetFileName(path));
        }
        catch (Exception trouble) when (trouble is IOException or UnauthorizedAccessException)
        {
            return $"it cannot be opened ({trouble.Message.TrimEnd('.')})";
        }
        catch (NotSupportedException)
        {
            return "it is a pipe or a device";
        }
    }

    private static string? WhyNotWhole(LogSource source, string name)
    {
        if (source.Length == 0)
        {
            return "it is empty";
        }

        Span<byte> start = stackalloc byte[4];
        start = start[..source.Read(0, start)];
        if (start.StartsWith("PAR1"u8))
        {
            return OfParquet(source);
        }

        if (GzipFile.Is(start))
        {
            try
            {
                using ChunkedSource unpacked = GzipFile.Unpack(source, name);
                return WhyNotWhole(unpacked, name);
            }
            catch (InputError)
            {
                return "its gzip packing stops early";
            }
        }

        return OfText(source);
    }

    private static string? OfParquet(LogSource source)
    {
        Span<byte> tail = stackalloc byte[ParquetTail];
        if (source.Length < 4 + ParquetTail || source.Read(source.Length - ParquetTail, tail) < ParquetTail || !tail[4..].SequenceEqual("PAR1"u8))
        {
            return "the footer of a Parquet file is missing at its end";
        }

        uint footer = System.Buffers.Binary.BinaryPrimitives.ReadUInt32LittleEndian(tail);
        return footer > source.Length - 4 - ParquetTail ? "the footer of the Parquet file is longer than the file" : null;
    }

    /// <summary>A place that a copy reserved and has not filled reads as zeros, in UTF-16 too.</summary>
    private static string? OfText(LogSource source)
    {
        Span<byte> tail = stackalloc byte[2];
        tail = tail[..source.Read(Math.Max(0, source.Length - 2), tail)];
        bool endsLine = tail[^1] is (byte)'\n' or (byte)'\r' || tail.SequenceEqual("\n\0"u8) || tail.SequenceEqual("\r\0"u8);
        return endsLine ? null : "it does not end with a line end";
    }
}
