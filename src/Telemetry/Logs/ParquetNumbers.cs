using Parquet;
using Parquet.Schema;

namespace Telemetry.Logs;

/// <summary>Number columns of any type as doubles.</summary>
internal static class ParquetNumbers
{
    /// <summary>True for the types that become channels.</summary>
    public static bool IsNumber(Type type) =>
        type == typeof(double) || type == typeof(float) || type == typeof(Half) || type == typeof(decimal) || type == typeof(bool)
        || type == typeof(sbyte) || type == typeof(byte) || type == typeof(short) || type == typeof(ushort)
        || type == typeof(int) || type == typeof(uint) || type == typeof(long) || type == typeof(ulong);

    /// <summary>The values of a column as doubles, row group by row group; nulls as <see cref="CsvPartParser.Blank"/>.</summary>
    public static double[] ReadColumn(ParquetReader reader, DataField field, int rows, out int blanks)
    {
        Type type = field.ClrType;
        return type == typeof(double) ? Read<double>(reader, field, rows, out blanks, value => value)
            : type == typeof(float) ? Read<float>(reader, field, rows, out blanks, value => value)
            : type == typeof(Half) ? Read<Half>(reader, field, rows, out blanks, value => (double)value)
            : type == typeof(decimal) ? Read<decimal>(reader, field, rows, out blanks, value => (double)value)
            : type == typeof(bool) ? Read<bool>(reader, field, rows, out blanks, value => value ? 1 : 0)
            : type == typeof(sbyte) ? Read<sbyte>(reader, field, rows, out blanks, value => value)
            : type == typeof(byte) ? Read<byte>(reader, field, rows, out blanks, value => value)
            : type == typeof(short) ? Read<short>(reader, field, rows, out blanks, value => value)
            : type == typeof(ushort) ? Read<ushort>(reader, field, rows, out blanks, value => value)
            : type == typeof(int) ? Read<int>(reader, field, rows, out blanks, value => value)
            : type == typeof(uint) ? Read<uint>(reader, field, rows, out blanks, value => value)
            : type == typeof(long) ? Read<long>(reader, field, rows, out blanks, value => value)
            : Read<ulong>(reader, field, rows, out blanks, value => value);
    }

    /// <summary>The values of a column, each turned into a double by a function.</summary>
    public static double[] Read<T>(ParquetReader reader, DataField field, int rows, out int blanks, Func<T, double> convert)
        where T : struct
    {
        double[] target = GC.AllocateUninitializedArray<double>(rows);
        blanks = 0;
        int at = 0;
        for (int i = 0; i < reader.RowGroupCount; i++)
        {
            ParquetRowGroupReader group = reader.OpenRowGroupReader(i);
            int count = (int)group.RowCount;
            if (field.IsNullable)
            {
                T?[] values = new T?[count];
                group.ReadAsync<T>(field, values.AsMemory()).AsTask().GetAwaiter().GetResult();
                for (int k = 0; k < count; k++)
                {
                    target[at + k] = values[k] is { } value ? convert(value) : CsvPartParser.Blank;
                    blanks += values[k] is null ? 1 : 0;
                }
            }
            else if (target is T[] same)
            {
                group.ReadAsync<T>(field, same.AsMemory(at, count)).AsTask().GetAwaiter().GetResult();
            }
            else
            {
                T[] values = new T[count];
                group.ReadAsync<T>(field, values.AsMemory()).AsTask().GetAwaiter().GetResult();
                for (int k = 0; k < count; k++)
                {
                    target[at + k] = convert(values[k]);
                }
            }

            at += count;
        }

        return target;
    }

    /// <summary>Infinities and every NaN become the one NaN that stands for a gap; blanks stay what they are.</summary>
    /// <param name="values">The numbers; changed in place.</param>
    /// <param name="first">Place of the first one; -1 without.</param>
    public static int ReplaceNotFinite(double[] values, out int first)
    {
        first = -1;
        int count = 0;
        long blank = BitConverter.DoubleToInt64Bits(CsvPartParser.Blank);
        for (int i = 0; i < values.Length; i++)
        {
            if (!double.IsFinite(values[i]) && BitConverter.DoubleToInt64Bits(values[i]) != blank)
            {
                values[i] = double.NaN;
                first = count++ == 0 ? i : first;
            }
        }

        return count;
    }

    /// <summary>Numbers whose size is beyond anything that is measured in any unit: what a flipped bit of an exponent makes.</summary>
    public static int CountImplausible(double[] values, out int first)
    {
        const double largest = 1e30;
        const double smallest = 1e-30;
        first = -1;
        int count = 0;
        for (int i = 0; i < values.Length; i++)
        {
            double size = Math.Abs(values[i]);
            if (size > largest || (size < smallest && size > 0))
            {
                first = count++ == 0 ? i : first;
            }
        }

        return count;
    }
}
