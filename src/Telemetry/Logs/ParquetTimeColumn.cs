using System.Globalization;
using Parquet;
using Parquet.Schema;

namespace Telemetry.Logs;

/// <summary>The time column of a Parquet file.</summary>
/// <param name="TimesS">Time of each row, s, finite.</param>
/// <param name="QuantumS">What one step of the numbers stands for, s.</param>
/// <param name="StartedAtUtc">Wall-clock time of the first row, or null.</param>
/// <param name="UnitsPerSecond">Units of binary floating-point times; null for others, which no single precision has touched.</param>
/// <param name="IsSingle">True for times in single precision.</param>
internal sealed record ParquetTime(double[] TimesS, double QuantumS, DateTimeOffset? StartedAtUtc, double? UnitsPerSecond, bool IsSingle);

/// <summary>Reads the time column of a Parquet file in seconds.</summary>
internal static class ParquetTimeColumn
{
    /// <summary>Time of each row, s.</summary>
    /// <param name="file">The file.</param>
    /// <param name="reader">Its reader.</param>
    /// <param name="time">The time column.</param>
    /// <param name="rows">Number of rows.</param>
    /// <param name="fileName">Name for messages.</param>
    /// <param name="notes">Takes remarks.</param>
    /// <exception cref="InputError">A row has no time, or the column is none of time.</exception>
    public static ParquetTime Read(ParquetFile file, ParquetReader reader, ParquetColumn time, int rows, string fileName, List<LogFinding> notes)
    {
        DataField field = time.Field;
        if (field.ClrType != typeof(DateTime) && !ParquetNumbers.IsNumber(field.ClrType))
        {
            throw new InputError($"{fileName}, column '{field.Name}'", "The time column holds neither numbers nor dates.", "Write the time as seconds, or as a time stamp.");
        }

        ParquetTime found = field.ClrType == typeof(DateTime) ? ReadDates(reader, field, rows) : ReadNumbers(file, reader, time, rows, fileName, notes);
        int missing = Array.FindIndex(found.TimesS, value => !double.IsFinite(value));
        return missing < 0 ? found : throw new InputError(
            string.Create(CultureInfo.InvariantCulture, $"{fileName}, row {missing + 1}, column '{field.Name}'"),
            "The row has no time.",
            "Give the row its time, or remove it.");
    }

    private static ParquetTime ReadNumbers(ParquetFile file, ParquetReader reader, ParquetColumn time, int rows, string fileName, List<LogFinding> notes)
    {
        DataField field = time.Field;
        LogColumn column = TimeColumns.WithUnit(time.Column);
        if (column.Unit.Length == 0)
        {
            notes.Add(ParquetColumns.Note(fileName, column.Name, "The time column has no unit and is taken as seconds."));
        }

        double perSecond = TimeText.UnitsPerSecond(column.Unit) ?? throw new InputError(
            $"{fileName}, column '{field.Name}'", $"'{column.Unit}' is no unit of time.", "Write s, ms, us, ns, min or h.");
        double[] times = file.ReadNamed(reader, time, rows, out _);
        double quantum = ParquetTimes.Quantum(times, field.ClrType) / perSecond;
        for (int i = 0; i < times.Length; i++)
        {
            times[i] /= perSecond;
        }

        return new(times, quantum, null, field.ClrType == typeof(double) || field.ClrType == typeof(float) ? perSecond : null, field.ClrType == typeof(float));
    }

    private static ParquetTime ReadDates(ParquetReader reader, DataField field, int rows)
    {
        long[] ticks = new long[rows];
        int next = 0;
        _ = ParquetNumbers.Read<DateTime>(reader, field, rows, out int blanks, value =>
        {
            ticks[next++] = value.Ticks;
            return 0;
        });
        bool isMilli = true;
        bool isMicro = true;
        double[] times = new double[rows];
        for (int i = 0; i < rows; i++)
        {
            isMilli &= ticks[i] % TimeSpan.TicksPerMillisecond == 0;
            isMicro &= ticks[i] % TimeSpan.TicksPerMicrosecond == 0;
            times[i] = blanks == 0 ? (double)(ticks[i] - ticks[0]) / TimeSpan.TicksPerSecond : double.NaN;
        }

        return new(times, isMilli ? 1e-3 : isMicro ? 1e-6 : 1e-7, blanks == 0 ? new DateTimeOffset(ticks[0], TimeSpan.Zero) : null, null, false);
    }
}
