using System.Runtime.Intrinsics;
using Telemetry.Car;

namespace Telemetry.Fatigue;

/// <summary>An S-N line made ready for use: cycles that a range can be repeated, and the damage that one of them does.</summary>
/// <remarks>
/// Straight pieces in log-log between the line's points, one slope beyond each end (see <see cref="SnLine"/>).
/// A range at the cut-off or below does no damage; without a lower slope, neither does a range below the last point.
/// </remarks>
public sealed class SnCurve
{
    /// <summary>From the smallest ranges to the largest.</summary>
    private readonly Stretch[] stretches;
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

        List<Stretch> falling = [];
        for (int i = 0; i < line.Points.Length; i++)
        {
            SnPoint point = line.Points[i], before = line.Points[Math.Max(i - 1, 0)];
            bool falls = i == 0 || (point.Cycles > before.Cycles && point.Range < before.Range);
            if (!(point.Cycles > 0) || !(point.Range > 0) || !falls)
            {
                throw new ArgumentException($"Point {i + 1} of the S-N line must have more cycles and a smaller range than the one before, all above 0.", nameof(line));
            }

            falling.Add(i == 0
                ? new(point.Range, point, line.SlopeAbove)
                : new(point.Range, before, Math.Log(point.Cycles / before.Cycles) / Math.Log(before.Range / point.Range)));
        }

        if (line.SlopeBelow is { } below)
        {
            falling.Add(new(double.NegativeInfinity, line.Points[^1], below));
        }

        stretches = [.. falling.AsEnumerable().Reverse()];
        cutOff = line.CutOffRange ?? 0;
    }

    /// <summary>Cycles to failure at a constant range.</summary>
    /// <param name="range">Range in the line's unit.</param>
    /// <returns>Cycles; infinite where the range does no damage; NaN for NaN.</returns>
    public double CyclesToFailure(double range) => 1 / Damage(range);

    /// <summary>Share of the life that one cycle uses (Palmgren and Miner): one over the cycles to failure.</summary>
    /// <param name="range">Range in the line's unit.</param>
    /// <returns>0 where the range does no damage; NaN for NaN.</returns>
    public double Damage(double range) => Damage(Vector256.Create(range)).ToScalar();

    /// <summary>The same of four ranges.</summary>
    internal Vector256<double> Damage(Vector256<double> range)
    {
        Vector256<double> none = Vector256.LessThanOrEqual(range, Vector256.Create(cutOff));
        Vector256<double> damage = Vector256<double>.Zero;
        if (Vector256.EqualsAll(none.AsUInt64(), Vector256<ulong>.AllBitsSet))
        {
            // Most cycles of a part that has a cut-off: no power is worked out for them.
            return damage;
        }

        foreach (Stretch stretch in stretches)
        {
            // Not below its start, rather than above it: NaN then lies in every stretch and stays NaN.
            Vector256<double> within = ~Vector256.LessThan(range, Vector256.Create(stretch.From));
            if (within != Vector256<double>.Zero)
            {
                // One where it is not asked for: what lies beside must not make the power take another way to its last digit.
                Vector256<double> ratio = Vector256.ConditionalSelect(within, range / stretch.Through.Range, Vector256<double>.One);
                damage = Vector256.ConditionalSelect(within, SlopePower.Of(ratio, stretch.Slope) / stretch.Through.Cycles, damage);
            }
        }

        return Vector256.ConditionalSelect(none, Vector256<double>.Zero, damage);
    }

    /// <summary>A straight piece in log-log, from a range up to where the next begins, through a point.</summary>
    private sealed record Stretch(double From, SnPoint Through, double Slope);
}
