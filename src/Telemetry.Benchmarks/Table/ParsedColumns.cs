namespace Telemetry.Benchmarks.Table;

/// <summary>Columns of doubles as a reader left them, time first.</summary>
/// <param name="Columns">One array a column, all of one length.</param>
internal sealed record ParsedColumns(double[][] Columns)
{
    /// <summary>Says whether a peer reached the same values, in words for the table.</summary>
    /// <param name="ours">Our channels, time left out.</param>
    /// <remarks>Compared value by value; the time column is left out, because ours becomes an exact grid.</remarks>
    public string AgreementWith(IReadOnlyList<ReadOnlyMemory<double>> ours)
    {
        if (Columns.Length - 1 != ours.Count || Columns[0].Length != ours[0].Length)
        {
            return FormattableString.Invariant($"NOT THE SAME: {ours.Count} channels of {ours[0].Length} rows against {Columns.Length - 1} of {Columns[0].Length}");
        }

        long different = 0;
        double largest = 0;
        for (int channel = 0; channel < ours.Count; channel++)
        {
            ReadOnlySpan<double> mine = ours[channel].Span;
            double[] theirs = Columns[channel + 1];
            for (int row = 0; row < theirs.Length; row++)
            {
                if (BitConverter.DoubleToInt64Bits(mine[row]) != BitConverter.DoubleToInt64Bits(theirs[row]))
                {
                    different++;
                    largest = Math.Max(largest, Math.Abs(mine[row] - theirs[row]));
                }
            }
        }

        return different == 0
            ? FormattableString.Invariant($"all {(long)ours.Count * ours[0].Length:N0} values bit for bit")
            : FormattableString.Invariant($"{different:N0} of {(long)ours.Count * ours[0].Length:N0} values differ, by {largest:0.0e0} at most");
    }
}
