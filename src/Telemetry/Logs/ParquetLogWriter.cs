using System.Globalization;
using System.IO.Compression;
using Parquet;
using Parquet.Schema;

namespace Telemetry.Logs;

/// <summary>Writes a run's log as Parquet that general-purpose tools read, and that reads back to the same channels bit for bit.</summary>
/// <remarks>
/// One row for each time at which any channel has a sample; the first column is 'time [s]', a channel without a sample in a row has a null there.
/// Unit and exact time base stand in each column's key-value metadata. Columns of whole numbers are INT32 with DELTA_BINARY_PACKED,
/// all others DOUBLE with BYTE_STREAM_SPLIT (FLOAT where the numbers are rounded to single precision). Pages of a log that is kept are compressed with Zstandard,
/// those of columns that are made while a person waits with Snappy. Measured against each other, against plain and against dictionary encodings: README of this folder.
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
    public static void Write(RunLog log, Stream stream)
    {
        ArgumentNullException.ThrowIfNull(log);
        Write(log, [.. log.Channels.Select(channel => new ColumnToWrite(channel.Name, channel.Unit, channel.Time, channel.Samples))], CompressionMethod.Zstd, stream);
    }

    /// <summary>Writes columns to a stream; their numbers are made, scaled and rounded on their way, so that no copy of a long run is held.</summary>
    /// <param name="log">What the file says about the run; its channels are not looked at.</param>
    /// <param name="columns">The columns.</param>
    /// <param name="compression">How their pages are compressed.</param>
    /// <param name="stream">As above.</param>
    internal static void Write(RunLog log, IReadOnlyList<ColumnToWrite> columns, CompressionMethod compression, Stream stream)
    {
        ArgumentNullException.ThrowIfNull(log);
        ArgumentNullException.ThrowIfNull(stream);
        CheckNames(columns);
        ParquetRows rows = ParquetRows.Of(columns.Select(column => column.Time));
        ColumnPlan[] plans = new ColumnPlan[columns.Count];
        Workers.Run(plans.Length, i => plans[i] = ColumnPlan.For(columns[i], rows));

        // Group by group one column is written after the other: what several of them are made from is made once a group.
        SampleSource[] samples = new SharedParts(RowGroupRows).Of(columns.Select(column => column.Samples));
        for (int i = 0; i < plans.Length; i++)
        {
            plans[i] = plans[i] with { Column = columns[i] with { Samples = samples[i] } };
        }

        DataField<double> timeField = new(ParquetKeys.TimeColumn);
        ParquetSchema schema = new([timeField, .. plans.Select(plan => plan.Field)]);
        ParquetOptions options = new() { CompressionMethod = compression, CompressionLevel = CompressionLevel.Fastest };
        options.ColumnEncodingHints[timeField.Path.ToString()] = EncodingHint.ByteSplitStream;
        foreach (ColumnPlan plan in plans)
        {
            options.ColumnEncodingHints[plan.Field.Path.ToString()] = plan.IsWhole ? EncodingHint.DeltaBinaryPacked : EncodingHint.ByteSplitStream;
        }

        WriteAsync(log, new PromptStream(stream), rows, plans, timeField, schema, options).GetAwaiter().GetResult();
    }

    private static async Task WriteAsync(
        RunLog log, Stream stream, ParquetRows rows, ColumnPlan[] plans, DataField timeField, ParquetSchema schema, ParquetOptions options)
    {
        await using ParquetWriter writer = await ParquetWriter.CreateAsync(schema, stream, options).ConfigureAwait(false);
        writer.CustomMetadata = FileKeys(log, rows.Count, schema);
        ColumnBuffers buffers = new(Math.Min(RowGroupRows, rows.Count));
        for (int start = 0; start < rows.Count; start += RowGroupRows)
        {
            int count = Math.Min(RowGroupRows, rows.Count - start);
            using ParquetRowGroupWriter group = writer.CreateRowGroup();
            Memory<double> timesS = buffers.Double.AsMemory(0, count);
            rows.TimesInto(start, timesS.Span);
            Dictionary<string, string> timeKeys = new()
            {
                [ParquetKeys.Unit] = "s",
                [ParquetChecksum.Key] = ParquetChecksum.OfColumn(timeField.Name, "s", "", timesS.Span),
            };
            await group.WriteAsync<double>(timeField, timesS, customMetadata: timeKeys).ConfigureAwait(false);
            foreach (ColumnPlan plan in plans)
            {
                await plan.WriteAsync(group, start, count, buffers).ConfigureAwait(false);
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

    private static void CheckNames(IReadOnlyList<ColumnToWrite> columns)
    {
        HashSet<string> names = new(StringComparer.Ordinal) { ParquetKeys.TimeColumn };
        foreach (ColumnToWrite column in columns)
        {
            if (!names.Add(column.Name))
            {
                throw new ArgumentException($"The name '{column.Name}' is taken twice.", nameof(columns));
            }
        }
    }

    /// <summary>How one channel becomes a column.</summary>
    private sealed record ColumnPlan(ColumnToWrite Column, DataField Field, bool IsWhole, int[]? Rows)
    {
        public static ColumnPlan For(ColumnToWrite column, ParquetRows rows)
        {
            int[]? places = rows.RowsOf(column.Time);
            bool isWhole = IsWholeThroughout(column.Samples, column.Scale);
            DataField field = isWhole ? new DataField<int>(column.Name, places is not null)
                : column.Scale is null ? new DataField<double>(column.Name, places is not null)
                : new DataField<float>(column.Name, places is not null);
            return new(column, field, isWhole, places);
        }

        /// <summary>Writes the column's rows of one row group. The buffers are free again once the task is done.</summary>
        public Task WriteAsync(ParquetRowGroupWriter group, int start, int count, ColumnBuffers buffers)
        {
            string timeBase = ParquetKeys.Format(Column.Time);
            Fill(start, count, buffers);
            Dictionary<string, string> keys = new()
            {
                [ParquetKeys.Unit] = Column.Unit,
                [ParquetKeys.TimeBase] = timeBase,
                [ParquetChecksum.Key] = ParquetChecksum.OfColumn(Column.Name, Column.Unit, timeBase, buffers.Double.AsSpan(0, count)),
            };
            bool isDense = Rows is null, isSingle = Column.Scale is not null;
            return (IsWhole, isSingle) switch
            {
                (true, _) when isDense => group.WriteAsync<int>(Field, buffers.Whole.AsMemory(0, count), customMetadata: keys),
                (false, true) when isDense => group.WriteAsync<float>(Field, buffers.Single.AsMemory(0, count), customMetadata: keys),
                (false, false) when isDense => group.WriteAsync<double>(Field, buffers.Double.AsMemory(0, count), customMetadata: keys),
                (true, _) => WriteAsync(group, start, count, keys, value => (int)value, buffers),
                (false, true) => WriteAsync(group, start, count, keys, value => (float)value, buffers),
                (false, false) => WriteAsync(group, start, count, keys, value => value, buffers),
            };
        }

        /// <summary>Makes what a reader will have for these rows: the samples, scaled and rounded, at their places, blanks between them; where every row has one, also in the column's own type.</summary>
        private void Fill(int start, int count, ColumnBuffers buffers)
        {
            Span<double> values = buffers.Double.AsSpan(0, count);
            if (Rows is not null)
            {
                values.Fill(CsvPartParser.Blank);
                for (int i = FirstFrom(Rows, start); i < Rows.Length && Rows[i] < start + count; i++)
                {
                    values[Rows[i] - start] = Scaled(Column.Samples[i], Column.Scale);
                }

                return;
            }

            ReadOnlySpan<double> samples = Column.Samples.Read(start, count, values);
            if (Column.Scale is double scale)
            {
                SinglePrecision.Of(samples, scale, buffers.Single.AsSpan(0, count), values);
            }
            else
            {
                samples.CopyTo(values);
            }

            if (IsWhole)
            {
                Span<int> whole = buffers.Whole.AsSpan(0, count);
                for (int i = 0; i < whole.Length; i++)
                {
                    whole[i] = (int)values[i];
                }
            }
        }

        /// <summary>A column with blanks, from what <see cref="Fill"/> made.</summary>
        private Task WriteAsync<T>(ParquetRowGroupWriter group, int start, int count, Dictionary<string, string> keys, Func<double, T> convert, ColumnBuffers buffers)
            where T : struct
        {
            T?[] sparse = new T?[count];
            for (int i = FirstFrom(Rows!, start); i < Rows!.Length && Rows[i] < start + count; i++)
            {
                sparse[Rows[i] - start] = convert(buffers.Double[Rows[i] - start]);
            }

            return group.WriteAsync<T>(Field, sparse.AsMemory(), customMetadata: keys);
        }

        /// <summary>Place of the first of the rising rows that is not before one.</summary>
        private static int FirstFrom(int[] rows, int start)
        {
            int place = Array.BinarySearch(rows, start);
            return place < 0 ? ~place : place;
        }

        private static double Scaled(double value, double? scale) => scale is double factor ? (float)(value * factor) : value;

        /// <summary>True when every value is a 32-bit integer, minus zero not among them, so that nothing is lost.</summary>
        private static bool IsWholeThroughout(SampleSource samples, double? scale)
        {
            double[] room = SampleSource.RoomForBlock();
            foreach ((int start, int count) in SampleSource.Blocks(0, samples.Length))
            {
                foreach (double unscaled in samples.Read(start, count, room))
                {
                    double value = Scaled(unscaled, scale);
                    if (!(value is >= int.MinValue and <= int.MaxValue) || value != (int)value || (value == 0 && double.IsNegative(value)))
                    {
                        return false;
                    }
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
