using CsvHelper;
using nietras.SeparatedValues;
using Telemetry.Logs;

namespace Telemetry.Benchmarks.Table;

/// <summary>Other ways from a CSV log with a header row and a units row to columns of doubles. They check nothing: no units, no gaps, no time base, no faulty rows.</summary>
internal static class CsvPeers
{
    private const int HeadRows = 2;

    /// <summary>The bare parse of the byte-span reader that our import stands on, cut and run in parallel as our import does it.</summary>
    public static ParsedColumns BareParallel(string path)
    {
        using FileSource source = new(File.OpenHandle(path));
        (long start, int width) = Head(source);
        CsvPart[] parts = [.. CsvParts.Split(source, path, start, source.Length, (byte)'\n', CsvParts.DefaultPartBytes)];
        int[] rowsOfPart = new int[parts.Length];
        Workers.Run(parts.Length, i => CsvParts.WithBytes(source, parts[i], bytes => rowsOfPart[i] = bytes.Span.Count((byte)'\n')));
        int[] firstRow = new int[parts.Length];
        for (int i = 1; i < parts.Length; i++)
        {
            firstRow[i] = firstRow[i - 1] + rowsOfPart[i - 1];
        }

        double[][] columns = NewColumns(width, firstRow[^1] + rowsOfPart[^1]);
        Workers.Run(parts.Length, i => CsvParts.WithBytes(source, parts[i], bytes => Parse(bytes, columns, firstRow[i])));
        return new(columns);
    }

    /// <summary>Sep, one thread.</summary>
    public static ParsedColumns SepOneThread(string path)
    {
        using SepReader reader = Sep.New(',').Reader(SepOptions).FromFile(path);
        int width = reader.Header.ColNames.Count;
        double[][] columns = NewColumns(width, RowsOf(path));
        double[] values = new double[width];
        int row = 0;
        _ = reader.MoveNext();
        while (reader.MoveNext())
        {
            reader.Current[..].Parse<double>(values);
            for (int c = 0; c < width; c++)
            {
                columns[c][row] = values[c];
            }

            row++;
        }

        return new(columns);
    }

    /// <summary>Sep in parallel, as many threads as processors: rows are parsed side by side and handed on in their order.</summary>
    /// <remarks>
    /// A row cannot write to its own place: in parallel its index counts within a batch, and its line number is wrong on the last row of many batches
    /// (0.17.1; 3,244 of 900,002 rows), so that each row is an array that is copied into the columns.
    /// </remarks>
    public static ParsedColumns SepParallel(string path)
    {
        using SepReader reader = Sep.New(',').Reader(SepOptions).FromFile(path);
        double[][] columns = NewColumns(reader.Header.ColNames.Count, RowsOf(path));
        int at = -1;
        foreach (double[] row in reader.ParallelEnumerate(row => row.LineNumberFrom == HeadRows && !IsNumber(row[0].Span) ? [] : row[..].ParseToArray<double>(), Environment.ProcessorCount))
        {
            // The units row comes first.
            if (at >= 0)
            {
                for (int c = 0; c < columns.Length; c++)
                {
                    columns[c][at] = row[c];
                }
            }

            at++;
        }

        return at == columns[0].Length ? new(columns) : throw new InvalidOperationException($"Sep gave {at} rows of {columns[0].Length}.");
    }

    private static bool IsNumber(ReadOnlySpan<char> text) => text.Length > 0 && (char.IsAsciiDigit(text[0]) || text[0] == '-');

    private static SepReaderOptions SepOptions(SepReaderOptions options) => options with { DisableQuotesParsing = true };

    private static void Parse(Memory<byte> bytes, double[][] columns, int row)
    {
        using CsvReader reader = CsvReader.Create(bytes, CsvRecords.Options(','));
        while (reader.Read())
        {
            for (int c = 0; c < columns.Length; c++)
            {
                columns[c][row] = reader.Parse<double>(c);
            }

            row++;
        }
    }

    /// <summary>Where the numbers begin, and how many columns there are.</summary>
    private static (long Start, int Width) Head(FileSource source)
    {
        byte[] head = new byte[1 << 16];
        Span<byte> text = head.AsSpan(0, source.Read(0, head));
        int width = text[..text.IndexOf((byte)'\n')].Count((byte)',') + 1;
        int start = 0;
        for (int line = 0; line < HeadRows; line++)
        {
            start += text[start..].IndexOf((byte)'\n') + 1;
        }

        return (start, width);
    }

    /// <summary>Rows of numbers, counted in parallel: Sep does not tell beforehand, and columns that grow would be slower.</summary>
    private static int RowsOf(string path)
    {
        using FileSource source = new(File.OpenHandle(path));
        CsvPart[] parts = [.. CsvParts.Split(source, path, 0, source.Length, (byte)'\n', CsvParts.DefaultPartBytes)];
        int rows = -HeadRows;
        Workers.Run(parts.Length, i => CsvParts.WithBytes(source, parts[i], bytes => Interlocked.Add(ref rows, bytes.Span.Count((byte)'\n'))));
        return rows;
    }

    private static double[][] NewColumns(int width, int rows)
    {
        double[][] columns = new double[width][];
        Workers.Run(width, c => columns[c] = GC.AllocateUninitializedArray<double>(rows));
        return columns;
    }
}
