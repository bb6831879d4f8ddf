using System.Collections.Immutable;
using System.Globalization;
using System.IO.Compression;
using Parquet;
using Parquet.Schema;

namespace Telemetry.Logs;

/// <summary>Writes a run's log as Parquet that general-purpose tools read, and that reads back to the same channels bit for bit.</summary>
/// <remarks>
/// One row for each time at which any channel has a sample; the first column is 'time [s]', a channel without a sample in a row has a null there.
/// Unit and exact time base stand in each column's key-value metadata. Columns of whole numbers are INT32 with DELTA_BINARY_PACKED,
/// all others DOUBLE with BYTE_STREAM_SPLIT (FLOAT where the numbers are rounded to single precision); pages are compressed with Zstandard. Measured against plain and dictionary encodings and Snappy: README of this folder.
/// </remarks>
public static class ParquetLogWriter
{
    /// <summary>Rows of a row group: enough for the encodings to work, few enough that a column of one stays in the processor's cache while it is encoded and compressed.</summary>
    private const int RowGroupRows = 1 << 17;

    /// <summary>Writes a file; it appears whole or not at all.</summary>
    /// <param name="log">The log.</param>
    /// <param name="path">The file; one that exists is replaced once the new one is whole.</param>
    /// <exception cref="ArgumentException">Two channels have one name, or a channel is named as the time column.</exception>
    /// <exception cref="IOException">The file cannot be written.</exception>
    /// <exception cref="UnauthorizedAccessException">The folder may not be written to.</exception>
    public static void Write(RunLog log, string path)
    {
        ArgumentNullException.ThrowIfNull(log);
        ArgumentException.ThrowIfNullOrEmpty(path);
        string beside = path + ".part";
        try
        {
            using (FileStream stream = new(beside, FileMode.Create, FileAccess.ReadWrite))
            {
                Write(log, stream);
            }

            File.Move(beside, path, overwrite: true);
        }
        catch
        {
            File.Delete(beside);
            throw;
        }
    }

    /// <summary>Writes to a stream.</summary>
    /// <param name="log">The log.</param>
    /// <param name="stream">An empty stream that can be written to and sought in; stays open.</param>
    /// <exception cref="ArgumentException">Two channels have one name, or a channel is named as the time column.</exception>
    public static void Write(RunLog log, Stream stream) => Write(log, stream, []);

    /// <summary>Writes to a stream, each channel's numbers scaled and rounded to single precision on their way, so that no scaled copy of a long run is held.</summary>
    /// <param name="log">The log; its units are those after scaling.</param>
    /// <param name="stream">As above.</param>
    /// <param name="scales">One factor a channel, or empty for the numbers as they are.</param>
    internal static void Write(RunLog log, Stream stream, ImmutableArray<double> scales)
    {
        ArgumentNullException.ThrowIfNull(log);
        ArgumentNullException.ThrowIfNull(stream);
        CheckNames(log.Channels);
        ParquetRows rows = ParquetRows.Of(log.Channels.Select(channel => channel.Time));
        ColumnPlan[] columns = new ColumnPlan[log.Channels.Length];
        Workers.Run(columns.Length, i => columns[i] = ColumnPlan.For(log.Channels[i], rows, scales.IsEmpty ? null : scales[i]));
        DataField<double> timeField = new(ParquetKeys.TimeColumn);
        ParquetSchema schema = new([timeField, .. columns.Select(column => column.Field)]);
        ParquetOptions options = new() { CompressionMethod = CompressionMethod.Zstd, CompressionLevel = CompressionLevel.Fastest };
        options.ColumnEncodingHints[timeField.Path.ToString()] = EncodingHint.ByteSplitStream;
        foreach (ColumnPlan column in columns)
        {
            options.ColumnEncodingHints[column.Field.Path.ToString()] = column.IsWhole ? EncodingHint.DeltaBinaryPacked : EncodingHint.ByteSplitStream;
        }

        WriteAsync(log, stream, rows, columns, timeField, schema, options).GetAwaiter().GetResult();
    }

    private static async Task WriteAsync(
        RunLog log, Stream stream, ParquetRows rows, ColumnPlan[] columns, DataField timeField, ParquetSchema schema, ParquetOptions options)
    {
        await using ParquetWriter writer = await ParquetWriter.CreateAsync(schema, stream, options).ConfigureAwait(false);
        writer.CustomMetadata = FileKeys(log, rows.TimesS.Length, schema);
        ColumnBuffers buffers = new(Math.Min(RowGroupRows, rows.TimesS.Length));
        for (int start = 0; start < rows.TimesS.Length; start += RowGroupRows)
        {
            int count = Math.Min(RowGroupRows, rows.TimesS.Length - start);
            using ParquetRowGroupWriter group = writer.CreateRowGroup();
            Dictionary<string, string> timeKeys = new()
            {
                [ParquetKeys.Unit] = "s",
                [ParquetChecksum.Key] = ParquetChecksum.OfColumn(timeField.Name, "s", "", rows.TimesS.AsSpan(start, count)),
            };
            await group.WriteAsync<double>(timeField, rows.TimesS.AsMemory(start, count), customMetadata: timeKeys).ConfigureAwait(false);
            foreach (ColumnPlan column in columns)
            {
                await column.WriteAsync(group, start, count, buffers).ConfigureAwait(false);
            }
        }
    }

    private static Dictionary<string, string> FileKeys(RunLog log, int rows, ParquetSchema schema)
    {
        Dictionary<string, string> keys = new()
        {
            [ParquetKeys.Run] = log.Name,
            [ParquetKeys.Source] = Path.GetFileName(log.Source),
            [ParquetKeys.Findings] = ParquetKeys.Format(log.Findings),
        };
        if (log.StartedAtUtc is { } started)
        {
            keys[ParquetKeys.StartedAtUtc] = started.ToString("O", CultureInfo.InvariantCulture);
        }

        keys[ParquetChecksum.Key] = ParquetChecksum.OfFile(keys, rows, schema.Fields.Select(field => field.Name));
        return keys;
    }

    private static void CheckNames(ImmutableArray<LoggedChannel> channels)
    {
        HashSet<string> names = new(StringComparer.Ordinal) { ParquetKeys.TimeColumn };
        foreach (LoggedChannel channel in channels)
        {
            if (!names.Add(channel.Name))
            {
                throw new ArgumentException($"The name '{channel.Name}' is taken twice.", nameof(channels));
            }
        }
    }

    /// <summary>How one channel becomes a column.</summary>
    private sealed record ColumnPlan(LoggedChannel Channel, DataField Field, bool IsWhole, int[]? Rows, double? Scale)
    {
        public static ColumnPlan For(LoggedChannel channel, ParquetRows rows, double? scale)
        {
            int[]? places = rows.RowsOf(channel.Time);
            bool isWhole = IsWholeThroughout(channel.Samples.AsSpan(), scale);
            DataField field = isWhole ? new DataField<int>(channel.Name, places is not null)
                : scale is null ? new DataField<double>(channel.Name, places is not null)
                : new DataField<float>(channel.Name, places is not null);
            return new(channel, field, isWhole, places, scale);
        }

        /// <summary>Writes the column's rows of one row group. The buffers are free again once the task is done.</summary>
        public Task WriteAsync(ParquetRowGroupWriter group, int start, int count, ColumnBuffers buffers)
        {
            string timeBase = ParquetKeys.Format(Channel.Time);
            Dictionary<string, string> keys = new()
            {
                [ParquetKeys.Unit] = Channel.Unit,
                [ParquetKeys.TimeBase] = timeBase,
                [ParquetChecksum.Key] = ParquetChecksum.OfColumn(Channel.Name, Channel.Unit, timeBase, ReadBack(start, count, buffers)),
            };
            return (IsWhole, Scale) switch
            {
                (true, _) when Rows is null => group.WriteAsync<int>(Field, Whole(start, count, buffers), customMetadata: keys),
                (false, null) when Rows is null => group.WriteAsync(Field, Channel.Samples.AsMemory().Slice(start, count), customMetadata: keys),
                (false, not null) when Rows is null => group.WriteAsync<float>(Field, buffers.Single.AsMemory(0, count), customMetadata: keys),
                (true, null) => WriteAsync(group, start, count, keys, value => (int)value),
                (false, null) => WriteAsync(group, start, count, keys, value => value),
                (true, double scale) => WriteAsync(group, start, count, keys, value => (int)Single(value, scale)),
                (false, double scale) => WriteAsync(group, start, count, keys, value => Single(value, scale)),
            };
        }

        /// <summary>What a reader will have for these rows: the samples at their places, blanks between them. Scaled samples of every row stand in the single buffer too.</summary>
        private ReadOnlySpan<double> ReadBack(int start, int count, ColumnBuffers buffers)
        {
            ReadOnlySpan<double> samples = Channel.Samples.AsSpan();
            if (Rows is null && Scale is null)
            {
                return samples.Slice(start, count);
            }

            Span<double> values = buffers.Double.AsSpan(0, count);
            if (Rows is null)
            {
                SinglePrecision.Of(samples.Slice(start, count), Scale!.Value, buffers.Single.AsSpan(0, count), values);
                return values;
            }

            values.Fill(CsvPartParser.Blank);
            int first = Array.BinarySearch(Rows, start);
            for (int i = first < 0 ? ~first : first; i < samples.Length && Rows[i] < start + count; i++)
            {
                values[Rows[i] - start] = Scale is double scale ? Single(samples[i], scale) : samples[i];
            }

            return values;
        }

        /// <summary>The whole numbers of a column that has one in every row.</summary>
        private ReadOnlyMemory<int> Whole(int start, int count, ColumnBuffers buffers)
        {
            // What was read back is scaled and rounded already.
            ReadOnlySpan<double> from = Scale is null ? Channel.Samples.AsSpan().Slice(start, count) : buffers.Double.AsSpan(0, count);
            Span<int> whole = buffers.Whole.AsSpan(0, count);
            for (int i = 0; i < whole.Length; i++)
            {
                whole[i] = (int)from[i];
            }

            return buffers.Whole.AsMemory(0, count);
        }

        /// <summary>A column with blanks.</summary>
        private Task WriteAsync<T>(ParquetRowGroupWriter group, int start, int count, Dictionary<string, string> keys, Func<double, T> convert)
            where T : struct
        {
            ReadOnlySpan<double> samples = Channel.Samples.AsSpan();
            T?[] sparse = new T?[count];
            int first = Array.BinarySearch(Rows!, start);
            for (int i = first < 0 ? ~first : first; i < samples.Length && Rows![i] < start + count; i++)
            {
                sparse[Rows[i] - start] = convert(samples[i]);
            }

            return group.WriteAsync<T>(Field, sparse.AsMemory(), customMetadata: keys);
        }

        private static float Single(double value, double scale) => (float)(value * scale);

        /// <summary>True when every value is a 32-bit integer, minus zero not among them, so that nothing is lost.</summary>
        private static bool IsWholeThroughout(ReadOnlySpan<double> values, double? scale)
        {
            foreach (double unscaled in values)
            {
                double value = scale is double factor ? Single(unscaled, factor) : unscaled;
                if (!(value is >= int.MinValue and <= int.MaxValue) || value != (int)value || (value == 0 && double.IsNegative(value)))
                {
                    return false;
                }
            }

            return true;
        }
    }

    /// <summary>Room for one column at a time, so that a long run is written without fresh memory for each.</summary>
    private sealed class ColumnBuffers(int rows)
    {
        public double[] Double { get; } = new double[rows];

        public float[] Single { get; } = new float[rows];

        public int[] Whole { get; } = new int[rows];
    }
}
