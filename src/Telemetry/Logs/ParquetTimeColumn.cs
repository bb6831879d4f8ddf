using System.Globalization;
using Parquet;
using Parquet.Schema;

namespace Telemetry.Logs;

/// <summary>The time column of a Parquet file in seconds.</summary>
internal static class ParquetTimeColumn
{
    /// <summary>Time of each row, s.</summary>
    /// <param name="file">The file.</param>
    /// <param name="reader">Its reader.</param>
    /// <param name="time">The time column.</param>
    /// <param name="rows">Number of rows.</param>
    /// <param name="fileName">Name for messages.</param>
    /// <param name="notes">Takes remarks.</param>
    /// <param name="quantum">What one step of the numbers stands for, s.</param>
    /// <param name="started">Wall-clock time of the first row, or null.</param>
    /// <exception cref="InputError">A row has no time, or the column is none of time.</exception>
    public static double[] Read(ParquetFile file, ParquetReader reader, ParquetColumn time, int rows, string fileName, List<LogFinding> notes, out double quantum, out DateTimeOffset? started)
    {
        started = null;
        DataField field = time.Field;
        double[] times;
        int blanks;
        if (field.ClrType == typeof(DateTime))
        {
            times = ReadDates(reader, field, rows, out blanks, out quantum, out started);
        }
        else if (ParquetNumbers.IsNumber(field.ClrType))
        {
            LogColumn column = TimeColumns.WithUnit(time.Column);
            if (column.Unit.Length == 0)
            {
                notes.Add(ParquetColumns.Note(fileName, column.Name, "The time column has no unit and is taken as seconds."));
            }

            double perSecond = TimeText.UnitsPerSecond(column.Unit) ?? throw new InputError(
                $"{fileName}, column '{field.Name}'", $"'{column.Unit}' is no unit of time.", "Write s, ms, us, ns, min or h.");
            times = file.ReadNamed(reader, field, rows, out blanks);
            quantum = ParquetTimes.Quantum(times, field.ClrType) / perSecond;
            for (int i = 0; i < times.Length; i++)
            {
                times[i] /= perSecond;
            }
        }
        else
        {
            throw new InputError($"{fileName}, column '{field.Name}'", "The time column holds neither numbers nor dates.", "Write the time as seconds, or as a time stamp.");
        }

        int missing = Array.FindIndex(times, value => !double.IsFinite(value));
        return blanks == 0 && missing < 0 ? times : throw new InputError(
            string.Create(CultureInfo.InvariantCulture, $"{fileName}, row {missing + 1}, column '{field.Name}'"),
            "The row has no time.",
            "Give the row its time, or remove it.");
    }

    private static double[] ReadDates(ParquetReader reader, DataField field, int rows, out int blanks, out double quantum, out DateTimeOffset? started)
    {
        long[] ticks = new long[rows];
        int next = 0;
        _ = ParquetNumbers.Read<DateTime>(reader, field, rows, out blanks, value =>
        {
            ticks[next++] = value.Ticks;
            return 0;
        });
        started = blanks == 0 ? new DateTimeOffset(ticks[0], TimeSpan.Zero) : null;
        bool isMilli = true;
        bool isMicro = true;
        double[] times = new double[rows];
        for (int i = 0; i < rows; i++)
        {
            isMilli &= ticks[i] % TimeSpan.TicksPerMillisecond == 0;
            isMicro &= ticks[i] % TimeSpan.TicksPerMicrosecond == 0;
            times[i] = blanks == 0 ? (double)(ticks[i] - ticks[0]) / TimeSpan.TicksPerSecond : double.NaN;
        }

        quantum = isMilli ? 1e-3 : isMicro ? 1e-6 : 1e-7;
        return times;
    }
}
