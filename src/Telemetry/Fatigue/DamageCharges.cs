using System.Collections.Immutable;

namespace Telemetry.Fatigue;

/// <summary>A stretch of the run that damage can be charged to: a lap, a piece of the track, a strike, a phase.</summary>
/// <param name="First">Its first sample on the run's clock.</param>
/// <param name="End">One past its last sample.</param>
/// <param name="Key">What it belongs to; several stretches may share a key (a kerb has a stretch for each strike).</param>
public readonly record struct ChargeSpan(int First, int End, int Key);

/// <summary>What one key cost a part.</summary>
/// <param name="Key">The key of the stretches.</param>
/// <param name="Damage">Miner sum charged to it.</param>
/// <param name="Samples">Samples that its stretches cover, each counted once.</param>
public readonly record struct KeyDamage(int Key, double Damage, int Samples);

/// <summary>The damage of a run, charged to stretches of it (equation E9: every cycle has its place).</summary>
/// <remarks>
/// A cycle's damage is shared equally between its two turning points, and each half goes to the stretch that the turning point lies in.
/// Of a cycle that was begun in an earlier run, all of what this run added goes to the turning point that lies in this run;
/// where both lie in earlier runs it goes to <see cref="Elsewhere"/>.
/// <para>
/// It is a charge, not what would be saved: a load that is left out also changes which ranges pair up around it. What a kerb costs is told from
/// above or below by it; what would be gained by leaving it alone is the count of the load without it.
/// </para>
/// </remarks>
public sealed record DamageCharges
{
    /// <summary>One entry a key, in the order in which the keys were first given; a key without damage has 0.</summary>
    public required ImmutableArray<KeyDamage> ByKey { get; init; }

    /// <summary>What lies in no stretch. With <see cref="ByKey"/> it sums to the damage of the run, to the rounding of the sum.</summary>
    public required double Elsewhere { get; init; }

    /// <summary>Charges the damage of a part.</summary>
    /// <param name="part">A part of the run; one without damage is charged nothing.</param>
    /// <param name="spans">Stretches in any order. Where they overlap, the one given first takes the samples; an empty one takes none.</param>
    /// <exception cref="ArgumentException">A stretch ends before it begins.</exception>
    public static DamageCharges Of(ComponentResult part, ImmutableArray<ChargeSpan> spans)
    {
        ArgumentNullException.ThrowIfNull(part);
        return Of(part.Cycles, part.DamageByCycle, spans);
    }

    /// <summary>Charges damage given for each cycle.</summary>
    /// <param name="cycles">Counted cycles with their places.</param>
    /// <param name="damageByCycle">What each cycle added, in the order of the cycles; empty when no damage is known.</param>
    /// <param name="spans">As above.</param>
    /// <exception cref="ArgumentException">A stretch ends before it begins, or there is not one damage a cycle.</exception>
    public static DamageCharges Of(CycleCount cycles, ImmutableArray<double> damageByCycle, ImmutableArray<ChargeSpan> spans)
    {
        ArgumentNullException.ThrowIfNull(cycles);
        ReadOnlySpan<double> added = damageByCycle.IsDefault ? [] : damageByCycle.AsSpan();
        if (added.Length != 0 && added.Length != cycles.Count)
        {
            throw new ArgumentException($"There are {cycles.Count} cycles and damage for {added.Length}.", nameof(damageByCycle));
        }

        ReadOnlySpan<ChargeSpan> given = spans.IsDefault ? [] : spans.AsSpan();
        Dictionary<int, int> place = [];
        List<int> keys = [];
        foreach (ChargeSpan span in given)
        {
            if (span.End < span.First)
            {
                throw new ArgumentException($"A stretch begins at sample {span.First} and ends at {span.End}.", nameof(spans));
            }

            if (place.TryAdd(span.Key, keys.Count))
            {
                keys.Add(span.Key);
            }
        }

        SpanPieces pieces = SpanPieces.Of(given, place);

        // The last entry is elsewhere.
        double[] damage = new double[keys.Count + 1];
        ReadOnlySpan<int> from = cycles.FromIndex.AsSpan();
        ReadOnlySpan<int> to = cycles.ToIndex.AsSpan();
        int near = 0;
        for (int i = 0; i < added.Length; i++)
        {
            if (added[i] != 0)
            {
                int last = pieces.At(to[i], ref near, damage.Length - 1);
                int first = from[i] < 0 ? last : pieces.At(from[i], ref near, damage.Length - 1);
                damage[first] += added[i] / 2;
                damage[last] += added[i] / 2;
            }
        }

        int[] samples = pieces.Samples(keys.Count);
        return new()
        {
            ByKey = [.. keys.Select((key, i) => new KeyDamage(key, damage[i], samples[i]))],
            Elsewhere = damage[^1],
        };
    }
}
