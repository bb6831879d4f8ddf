using System.Runtime.Intrinsics;
using MathNet.Numerics.Distributions;
using Telemetry.Car;

namespace Telemetry.Fatigue;

/// <summary>The damage that load cycles do to one part (equation E10): S-N line, mean-stress rule and load factor in one.</summary>
/// <remarks>
/// The load is compression positive; what tires a part is tension, so a load is taken as a stress of the opposite sign:
/// stress = -(stress per load) * load. A hot spot that is pulled when the part is pressed has a negative stress per load.
/// The load factor goes on the load, range and mean alike, before the mean-stress rule: with a mean in tension that errs to more damage
/// than a factor on the corrected range.
/// </remarks>
public sealed class CycleDamage
{
    private readonly FatigueDefinition definition;
    private readonly SnCurve curve;
    private readonly MeanStressRule rule;
    private readonly double tensionPerLoad;
    private readonly double rangePerLoad;
    private readonly double ultimate;
    private readonly double gamma;
    private readonly double smallestRangeN;
    private readonly double lifeFactor;

    /// <summary>Makes a part's fatigue strength ready for use.</summary>
    /// <param name="fatigue">What the car file says.</param>
    /// <exception cref="ArgumentException">The S-N line or the load factor is not usable, or the mean-stress rule lacks its strength or exponent.</exception>
    public CycleDamage(FatigueDefinition fatigue)
    {
        ArgumentNullException.ThrowIfNull(fatigue);
        definition = fatigue;
        curve = new SnCurve(fatigue.Line);
        rule = fatigue.MeanRule;
        if (!(fatigue.LoadFactor >= 1))
        {
            throw new ArgumentException($"The load factor is {fatigue.LoadFactor}; it must be at least 1.", nameof(fatigue));
        }

        if (rule is MeanStressRule.Goodman or MeanStressRule.Gerber && !(fatigue.UltimateStrength > 0))
        {
            throw new ArgumentException($"{rule} needs an ultimate strength above 0.", nameof(fatigue));
        }

        if (rule is MeanStressRule.Walker && !(fatigue.WalkerGamma is >= 0 and <= 1))
        {
            throw new ArgumentException("Walker needs a gamma from 0 to 1.", nameof(fatigue));
        }

        if (fatigue.LifeScatterLog10 is { } scatter)
        {
            if (!(scatter > 0) || !(fatigue.LineSurvival is > 0 and < 1) || !(fatigue.Survival >= fatigue.LineSurvival && fatigue.Survival < 1))
            {
                throw new ArgumentException("The scatter of the life must be above 0, and survival from the line's own up to below 1.", nameof(fatigue));
            }
        }

        lifeFactor = LifeFactor(fatigue);
        tensionPerLoad = -(fatigue.StressPerLoadPaPerN ?? 1) * fatigue.LoadFactor;
        rangePerLoad = Math.Abs(tensionPerLoad);
        ultimate = fatigue.UltimateStrength ?? double.NaN;
        gamma = fatigue.WalkerGamma ?? double.NaN;
        smallestRangeN = fatigue.SmallestRangeN;
    }

    /// <summary>True when the damage depends on the mean, so that it needs a zero that can be trusted.</summary>
    public bool NeedsMean => rule != MeanStressRule.None;

    /// <summary>By how much the life of the line is divided so that the wished share of parts outlasts it: 10^(s (z(P) - z(P0))).</summary>
    /// <remarks>Lognormal life with standard deviation s of log10; z is the normal quantile, P the survival wished and P0 that of the line as given. Ranges of knee and cut-off stay.</remarks>
    /// <param name="fatigue">What the car file says.</param>
    /// <returns>1 or more; 1 without a scatter.</returns>
    public static double LifeFactor(FatigueDefinition fatigue)
    {
        ArgumentNullException.ThrowIfNull(fatigue);
        return fatigue.LifeScatterLog10 is { } scatter
            ? Math.Pow(10, scatter * (Normal.InvCDF(0, 1, fatigue.Survival) - Normal.InvCDF(0, 1, fatigue.LineSurvival)))
            : 1;
    }

    /// <summary>Damage of one full cycle between two loads.</summary>
    /// <param name="fromN">One turning point, N, compression positive.</param>
    /// <param name="toN">The other, N.</param>
    /// <returns>Share of the life; 0 below the cut-off or the reversal filter.</returns>
    public double Of(double fromN, double toN) => Of(fromN, toN, 1, 0);

    /// <summary>Damage of each full cycle, as <see cref="Of(double, double)"/>.</summary>
    /// <param name="fromN">One turning point of each, N.</param>
    /// <param name="toN">The other of each, N.</param>
    /// <param name="damage">Receives one number a cycle.</param>
    internal void Each(ReadOnlySpan<double> fromN, ReadOnlySpan<double> toN, Span<double> damage)
    {
        int i = 0;
        for (; i <= fromN.Length - Vector256<double>.Count; i += Vector256<double>.Count)
        {
            Of(Vector256.Create(fromN[i..]), Vector256.Create(toN[i..]), 1, 0).CopyTo(damage[i..]);
        }

        for (; i < fromN.Length; i++)
        {
            damage[i] = Of(fromN[i], toN[i]);
        }
    }

    /// <summary>The same strength with every range let in.</summary>
    internal CycleDamage WithoutFilter() => new(definition with { SmallestRangeN = 0 });

    /// <summary>Miner sum over counted cycles.</summary>
    /// <param name="cycles">Cycles of the part's load.</param>
    /// <returns>Sum of weight times damage; 0 without cycles.</returns>
    public double Sum(CycleCount cycles)
    {
        ArgumentNullException.ThrowIfNull(cycles);
        return Sum(cycles.FromN.AsSpan(), cycles.ToN.AsSpan(), cycles.Weight.AsSpan());
    }

    /// <summary>Miner sum over full cycles.</summary>
    internal double Sum(ReadOnlySpan<double> fromN, ReadOnlySpan<double> toN) => Sum(fromN, toN, [], each: 1, gain: 1, shiftN: 0);

    /// <summary>Miner sum over turning points of which each range between neighbours is half a cycle.</summary>
    internal double SumOfHalves(ReadOnlySpan<double> turningPointsN) =>
        turningPointsN.IsEmpty ? 0 : Sum(turningPointsN[..^1], turningPointsN[1..], [], each: 0.5, gain: 1, shiftN: 0);

    /// <summary>Miner sum over weighted cycles with every load read as gain times itself plus a shift: what an error of the cell would do.</summary>
    internal double Sum(ReadOnlySpan<double> fromN, ReadOnlySpan<double> toN, ReadOnlySpan<double> weight, double gain = 1, double shiftN = 0) =>
        Sum(fromN, toN, weight, each: 1, gain, shiftN);

    private double Sum(ReadOnlySpan<double> fromN, ReadOnlySpan<double> toN, ReadOnlySpan<double> weight, double each, double gain, double shiftN)
    {
        int i = 0;
        Vector256<double> sums = Vector256<double>.Zero;
        for (; i <= fromN.Length - Vector256<double>.Count; i += Vector256<double>.Count)
        {
            sums += (weight.IsEmpty ? Vector256.Create(each) : Vector256.Create(weight[i..])) * Of(Vector256.Create(fromN[i..]), Vector256.Create(toN[i..]), gain, shiftN);
        }

        double sum = Vector256.Sum(sums);
        for (; i < fromN.Length; i++)
        {
            sum += (weight.IsEmpty ? each : weight[i]) * Of(fromN[i], toN[i], gain, shiftN);
        }

        return sum;
    }

    private double Of(double fromN, double toN, double gain, double shiftN) => Of(Vector256.Create(fromN), Vector256.Create(toN), gain, shiftN).ToScalar();

    private Vector256<double> Of(Vector256<double> fromN, Vector256<double> toN, double gain, double shiftN)
    {
        // The filter looks at the load as it was read: an error of the gain must not let cycles in or out.
        Vector256<double> readRangeN = Vector256.Abs(toN - fromN);
        Vector256<double> left = Vector256.LessThan(readRangeN, Vector256.Create(smallestRangeN)) | Vector256.Equals(readRangeN, Vector256<double>.Zero);
        Vector256<double> shift = Vector256.Create(shiftN);
        Vector256<double> from = (fromN * gain) + shift, to = (toN * gain) + shift;
        Vector256<double> range = Vector256.Abs(to - from) * rangePerLoad;
        Vector256<double> equivalent = rule == MeanStressRule.None
            ? range
            : MeanStress.EquivalentRange(rule, range, (from + to) * tensionPerLoad / 2, ultimate, gamma);
        return Vector256.ConditionalSelect(left, Vector256<double>.Zero, curve.Damage(equivalent) * lifeFactor);
    }
}
