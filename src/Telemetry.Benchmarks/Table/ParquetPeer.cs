using ParquetSharp;
using Telemetry.Logs;

namespace Telemetry.Benchmarks.Table;

/// <summary>ParquetSharp (the C++ library of Apache Arrow): a Parquet log into columns of doubles.</summary>
internal static class ParquetPeer
{
    /// <summary>Every column, time first, in the order of the file.</summary>
    /// <param name="path">The file.</param>
    /// <param name="threads">Columns read side by side, each with a reader of its own; 1 for one after the other.</param>
    public static ParsedColumns Read(string path, int threads)
    {
        using ParquetFileReader file = new(path);
        int width = file.FileMetaData.NumColumns;
        int rows = checked((int)file.FileMetaData.NumRows);
        double[][] columns = new double[width][];
        if (threads == 1)
        {
            for (int c = 0; c < width; c++)
            {
                columns[c] = Column(file, c, rows);
            }
        }
        else
        {
            Workers.Run(width, c =>
            {
                using ParquetFileReader own = new(path);
                columns[c] = Column(own, c, rows);
            });
        }

        return new(columns);
    }

    private static double[] Column(ParquetFileReader file, int column, int rows)
    {
        double[] target = GC.AllocateUninitializedArray<double>(rows);
        int row = 0;
        for (int group = 0; group < file.FileMetaData.NumRowGroups; group++)
        {
            using RowGroupReader part = file.RowGroup(group);
            int count = checked((int)part.MetaData.NumRows);
            using ColumnReader reader = part.Column(column);
            Span<double> here = target.AsSpan(row, count);
            switch (reader)
            {
                case ColumnReader<double> doubles:
                    Fill(doubles, here, here);
                    break;
                case ColumnReader<int> integers:
                    int[] whole = new int[count];
                    Fill(integers, whole, here);
                    break;
                case ColumnReader<float> singles:
                    float[] single = new float[count];
                    Fill(singles, single, here);
                    break;
                default:
                    throw new NotSupportedException($"Column {column} is of type {reader.Type}.");
            }

            row += count;
        }

        return target;
    }

    /// <summary>Reads a column of a row group; a log without gaps has no nulls, and one with nulls is no peer's work here.</summary>
    private static void Fill<T>(ColumnReader<T> reader, Span<T> values, Span<double> target)
        where T : unmanaged, System.Numerics.INumber<T>
    {
        short[] levels = reader.ColumnDescriptor.MaxDefinitionLevel > 0 ? new short[values.Length] : [];
        int done = 0;
        while (done < values.Length)
        {
            _ = reader.ReadBatch(values.Length - done, levels.AsSpan(Math.Min(done, levels.Length)), [], values[done..], out long got);
            done += got > 0 ? (int)got : throw new NotSupportedException("The column has nulls.");
        }

        if (typeof(T) != typeof(double))
        {
            for (int i = 0; i < values.Length; i++)
            {
                target[i] = double.CreateTruncating(values[i]);
            }
        }
    }
}
