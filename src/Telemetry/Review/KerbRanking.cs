using System.Collections.Immutable;
using Telemetry.Car;
using Telemetry.Fatigue;
using Telemetry.Kerbs;

namespace Telemetry.Review;

/// <summary>What a kerb cost the part that it cost most.</summary>
/// <param name="Kerb">Number of the kerb.</param>
/// <param name="ComponentId">The part that lost the largest share of its life to it; null when no part is followed.</param>
/// <param name="Damage">Miner sum charged to it on that part; NaN without one.</param>
/// <param name="ShareOfRun">That as a share of the part's damage in this run, 0 to 1.</param>
/// <param name="LifeGain">How many times as many runs like this one the part would last if the kerb were left alone: damage over damage less the charge; infinite when the kerb did it all.</param>
public sealed record KerbCost(int Kerb, string? ComponentId, double Damage, double ShareOfRun, double LifeGain);

/// <summary>Kerbs by what they cost.</summary>
/// <remarks>
/// A cycle's damage is shared equally between its two turning points; the half whose turning point lies in a strike's history goes to the strike's kerb
/// (<see cref="DamageCharges"/>). It is a charge and not a promise: without the kerb other ranges would pair up, so a gain is told as about so much.
/// The histories of strikes that overlap are charged to the earlier one.
/// </remarks>
public static class KerbRanking
{
    /// <summary>The kerbs, the most costly first; kerbs that cost nothing follow by their worst peak. The order by worst peak is that of <see cref="KerbResult.Kerbs"/>.</summary>
    /// <param name="kerbs">Strikes and kerbs.</param>
    /// <param name="fatigue">Counted parts.</param>
    public static ImmutableArray<KerbCost> From(KerbResult kerbs, FatigueResult fatigue)
    {
        ArgumentNullException.ThrowIfNull(kerbs);
        ArgumentNullException.ThrowIfNull(fatigue);
        ImmutableArray<ChargeSpan> spans = [.. kerbs.Strikes.Where(strike => strike.ToIndex > strike.FromIndex).Select(strike => new ChargeSpan(strike.FromIndex, strike.ToIndex, strike.Kerb))];
        KerbCost[] costs = [.. kerbs.Kerbs.Select(kerb => new KerbCost(kerb.Number, null, double.NaN, double.NaN, double.NaN))];
        double[] lives = new double[costs.Length];
        ComponentResult[] worn = [.. fatigue.Components.Where(part => part.DamageRun > 0 && part.Component.Fatigue is not null)];
        var charges = new DamageCharges[worn.Length];
        Workers.Run(worn.Length, i => charges[i] = DamageCharges.Of(worn[i], spans));
        foreach ((ComponentResult part, DamageCharges charged) in worn.Zip(charges))
        {
            double run = part.DamageRun!.Value;
            FatigueDefinition strength = part.Component.Fatigue!;
            foreach (KeyDamage charge in charged.ByKey)
            {
                int at = charge.Key - 1;
                double life = charge.Damage / strength.CriticalDamage;
                if (at >= 0 && at < costs.Length && life > lives[at])
                {
                    lives[at] = life;
                    double left = run - charge.Damage;
                    costs[at] = new(charge.Key, part.Component.Id, charge.Damage, charge.Damage / run, left > 0 ? run / left : double.PositiveInfinity);
                }
            }
        }

        return [.. costs.OrderByDescending(cost => lives[cost.Kerb - 1]).ThenBy(cost => cost.Kerb)];
    }
}
