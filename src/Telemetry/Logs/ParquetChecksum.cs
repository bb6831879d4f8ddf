using System.Globalization;
using System.IO.Hashing;
using System.Text;

namespace Telemetry.Logs;

/// <summary>Checksums by which our own Parquet files show that what is read is what was written: 8 of 13 files with one flipped bit read without an error without them.</summary>
/// <remarks>
/// XXH64 (xxHash, its format description 0.1.1). A column's is formed for each row group over its values as little-endian doubles, a null as
/// <see cref="CsvPartParser.Blank"/>, with the XXH64 of its name, unit and time base as seed (UTF-8, each followed by a line feed): so that damage in
/// pages, footer and decoder shows alike. The file's is formed over the file's own keys, the number of rows and the columns' names.
/// </remarks>
internal static class ParquetChecksum
{
    /// <summary>Column and file metadata: the checksum.</summary>
    public const string Key = "checksum";

    private const string Prefix = "xxh64 ";
    private static readonly string[] OwnKeys = [ParquetKeys.Run, ParquetKeys.Source, ParquetKeys.StartedAtUtc, ParquetKeys.Findings];

    /// <summary>The checksum of one column in one row group.</summary>
    public static string OfColumn(string name, string unit, string timeBase, ReadOnlySpan<double> values) =>
        Text(DoubleHash.Of(values, XxHash64.HashToUInt64(Encoding.UTF8.GetBytes($"{name}\n{unit}\n{timeBase}\n"))));

    /// <summary>The checksum of the file's description.</summary>
    /// <param name="keys">The file's own keys; other programs may have added some.</param>
    /// <param name="rows">Number of rows.</param>
    /// <param name="columns">Names of all columns, time first.</param>
    public static string OfFile(IReadOnlyDictionary<string, string> keys, long rows, IEnumerable<string> columns)
    {
        string[] texts = [.. OwnKeys.Select(key => keys.GetValueOrDefault(key, "")), rows.ToString(CultureInfo.InvariantCulture), .. columns];
        return Text(XxHash64.HashToUInt64(Encoding.UTF8.GetBytes(string.Join('\n', texts) + "\n")));
    }

    private static string Text(ulong hash) => Prefix + hash.ToString("x16", CultureInfo.InvariantCulture);
}
