using System.Collections.Immutable;
using Telemetry.Car;

namespace Telemetry.Fatigue;

/// <summary>What one changed assumption does to the damage of a run.</summary>
/// <param name="Change">The change, in words.</param>
/// <param name="DamageRatio">Damage with it over damage without; NaN when the run did none either way, infinite when it only does with it.</param>
/// <param name="LifeRatio">One over that.</param>
public sealed record SensitivityRow(string Change, double DamageRatio, double LifeRatio);

/// <summary>How far the life hangs on what is least known: the slope of the S-N line and the factor on the load.</summary>
/// <remarks>
/// The slope is turned about the line's last point (the knee), which stays: slopes times 0.9 or 1.1, lives of other points of a table moved along.
/// The cut-off stays. Counted cycles are the same; only their damage is summed again.
/// </remarks>
public static class LifeSensitivity
{
    /// <summary>Sums the damage again under each change.</summary>
    /// <param name="part">A part of the run.</param>
    /// <returns>Slope 10 % flatter and steeper, load factor 5 and 10 % up; empty without damage.</returns>
    public static ImmutableArray<SensitivityRow> Of(ComponentResult part)
    {
        ArgumentNullException.ThrowIfNull(part);
        if (part.Component.Fatigue is not { } fatigue || part.DamageRun is null)
        {
            return [];
        }

        double known = new CycleDamage(fatigue).Sum(part.Cycles);
        return
        [
            Row("slope of the S-N line 10 % lower", fatigue with { Line = Turned(fatigue.Line, 0.9) }),
            Row("slope of the S-N line 10 % higher", fatigue with { Line = Turned(fatigue.Line, 1.1) }),
            Row("load factor 5 % higher", fatigue with { LoadFactor = 1.05 * fatigue.LoadFactor }),
            Row("load factor 10 % higher", fatigue with { LoadFactor = 1.1 * fatigue.LoadFactor }),
        ];

        SensitivityRow Row(string change, FatigueDefinition changed)
        {
            double ratio = new CycleDamage(changed).Sum(part.Cycles) / known;
            return new(change, ratio, 1 / ratio);
        }
    }

    private static SnLine Turned(SnLine line, double by)
    {
        double knee = line.Points[^1].Cycles;
        return line with
        {
            Points = [.. line.Points.Select(point => point with { Cycles = knee * Math.Pow(point.Cycles / knee, by) })],
            SlopeAbove = by * line.SlopeAbove,
            SlopeBelow = by * line.SlopeBelow,
        };
    }
}
