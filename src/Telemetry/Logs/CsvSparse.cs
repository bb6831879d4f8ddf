using System.Buffers;
using CsvHelper;

namespace Telemetry.Logs;

/// <summary>Columns of a CSV file that hold a value in few of its rows: slow channels beside fast ones.</summary>
internal static class CsvSparse
{
    /// <summary>Rows that are looked at: one of a channel at 10 Hz beside channels at 1 kHz is among them.</summary>
    private const int RowsLookedAt = 128;

    /// <summary>Blank in more than this share of the rows: a value with its row takes one and a half times the room of a value.</summary>
    private const double LeastBlankShare = 0.5;

    /// <summary>For each target, whether it is blank in most of the first rows. A guess only: it decides how values are stored, never which.</summary>
    /// <param name="bytes">The first rows, from the first byte of a row; left as they are.</param>
    /// <param name="plan">How they are parsed.</param>
    public static bool[] Find(ReadOnlySpan<byte> bytes, CsvPlan plan)
    {
        int[] blanks = new int[plan.Slots.Length];
        int rows = 0;
        using CsvReader reader = CsvReader.Create(CsvBytes.Prepare(bytes.ToArray(), plan), CsvBytes.Options(plan));
        while (rows < RowsLookedAt && reader.Read())
        {
            rows++;
            for (int slot = 1; slot < blanks.Length; slot++)
            {
                blanks[slot] += plan.Slots[slot] >= reader.FieldCount || reader.GetSpan(plan.Slots[slot]).IsEmpty ? 1 : 0;
            }
        }

        return [.. blanks.Select(count => count > LeastBlankShare * rows)];
    }
}

/// <summary>The values of a column that holds few, each with its row.</summary>
/// <param name="mostRows">Rows that may be added, in borrowed room until all are.</param>
internal sealed class SparseValues(int mostRows)
{
    private int[] _rows = ArrayPool<int>.Shared.Rent(mostRows);
    private double[] _values = ArrayPool<double>.Shared.Rent(mostRows);
    private int _count;

    /// <summary>The rows that have a value, rising.</summary>
    public ReadOnlySpan<int> Rows => _rows.AsSpan(0, _count);

    /// <summary>The value of each of them; NaN where the file names something else than a number.</summary>
    public ReadOnlySpan<double> Values => _values.AsSpan(0, _count);

    /// <summary>Adds a value behind all others.</summary>
    public void Add(int row, double value)
    {
        _rows[_count] = row;
        _values[_count++] = value;
    }

    /// <summary>Keeps what was added in room of its own length and gives the borrowed room back; nothing may be added afterwards.</summary>
    public void Keep()
    {
        (int[] rows, double[] values) = (_rows, _values);
        (_rows, _values) = (Rows.ToArray(), Values.ToArray());
        ArrayPool<int>.Shared.Return(rows);
        ArrayPool<double>.Shared.Return(values);
    }
}
