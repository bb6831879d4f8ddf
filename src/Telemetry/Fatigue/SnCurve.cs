using Telemetry.Car;

namespace Telemetry.Fatigue;

/// <summary>An S-N line made ready for use: cycles that a range can be repeated, and the damage that one of them does.</summary>
/// <remarks>
/// Straight pieces in log-log between the line's points, one slope beyond each end (see <see cref="SnLine"/>).
/// A range at the cut-off or below does no damage; without a lower slope, neither does a range below the last point.
/// </remarks>
public sealed class SnCurve
{
    private readonly double[] cycles;
    private readonly double[] ranges;
    private readonly double[] slopes;
    private readonly double slopeAbove;
    private readonly double? slopeBelow;
    private readonly double cutOff;

    /// <summary>Makes a line ready.</summary>
    /// <param name="line">Points with cycles strictly rising and ranges strictly falling, all above 0; slopes above 0.</param>
    /// <exception cref="ArgumentException">The line has no point, a number is not above 0, or the points do not fall.</exception>
    public SnCurve(SnLine line)
    {
        ArgumentNullException.ThrowIfNull(line);
        if (line.Points.IsDefaultOrEmpty)
        {
            throw new ArgumentException("An S-N line needs at least one point.", nameof(line));
        }

        if (!(line.SlopeAbove > 0) || line.SlopeBelow <= 0 || line.CutOffRange < 0)
        {
            throw new ArgumentException("The slopes of an S-N line must be above 0 and its cut-off not below 0.", nameof(line));
        }

        cycles = [.. line.Points.Select(point => point.Cycles)];
        ranges = [.. line.Points.Select(point => point.Range)];
        slopes = new double[cycles.Length - 1];
        for (int i = 0; i < cycles.Length; i++)
        {
            bool falls = i == 0 || (cycles[i] > cycles[i - 1] && ranges[i] < ranges[i - 1]);
            if (!(cycles[i] > 0) || !(ranges[i] > 0) || !falls)
            {
                throw new ArgumentException($"Point {i + 1} of the S-N line must have more cycles and a smaller range than the one before, all above 0.", nameof(line));
            }

            if (i > 0)
            {
                slopes[i - 1] = Math.Log(cycles[i] / cycles[i - 1]) / Math.Log(ranges[i - 1] / ranges[i]);
            }
        }

        slopeAbove = line.SlopeAbove;
        slopeBelow = line.SlopeBelow;
        cutOff = line.CutOffRange ?? 0;
    }

    /// <summary>Cycles to failure at a constant range.</summary>
    /// <param name="range">Range in the line's unit.</param>
    /// <returns>Cycles; infinite where the range does no damage; NaN for NaN.</returns>
    public double CyclesToFailure(double range) => 1 / Damage(range);

    /// <summary>Share of the life that one cycle uses (Palmgren and Miner): one over the cycles to failure.</summary>
    /// <param name="range">Range in the line's unit.</param>
    /// <returns>0 where the range does no damage; NaN for NaN.</returns>
    public double Damage(double range)
    {
        if (range <= cutOff)
        {
            return 0;
        }

        if (range < ranges[^1])
        {
            return slopeBelow is { } below ? Power(range / ranges[^1], below) / cycles[^1] : 0;
        }

        if (!(range < ranges[0]))
        {
            return Power(range / ranges[0], slopeAbove) / cycles[0];
        }

        int piece = 0;
        while (range < ranges[piece + 1])
        {
            piece++;
        }

        return Power(range / ranges[piece], slopes[piece]) / cycles[piece];
    }

    /// <summary>A power of a ratio; by squaring for the whole slopes that most lines have, several times quicker and to the last digit or two the same.</summary>
    private static double Power(double ratio, double slope)
    {
        if (slope != (int)slope || slope is not (> 0 and <= 64))
        {
            return Math.Pow(ratio, slope);
        }

        double power = 1;
        for (int rest = (int)slope; rest > 0; rest >>= 1, ratio *= ratio)
        {
            if ((rest & 1) == 1)
            {
                power *= ratio;
            }
        }

        return power;
    }
}
