using System.Collections.Immutable;
using CsCheck;
using Telemetry.Fatigue;

namespace Telemetry.Tests.Fatigue;

public class DamageChargesTests
{
    private static readonly CycleCount Three = new([0, 1, 2], [5, 6, 7], [0, 10, -1], [10, 20, 30], [1, 1, 0.5]);

    [Fact]
    public void Damage_is_shared_between_the_stretches_of_the_two_turning_points()
    {
        // By hand: the first cycle gives 1/2 to 0..9 and 1/2 to 10..19; the second 2/2 there and 2/2 to 20..29; the third began earlier and ends at 30, in no stretch.
        DamageCharges charges = DamageCharges.Of(Three, [1, 2, 4], [new(10, 20, 7), new(0, 10, 3), new(20, 30, 3)]);
        Assert.Equal([new KeyDamage(7, 1.5, 10), new KeyDamage(3, 1.5, 20)], charges.ByKey.AsSpan());
        Assert.Equal(4, charges.Elsewhere);
    }

    [Fact]
    public void Where_stretches_overlap_the_one_given_first_takes_the_samples()
    {
        DamageCharges charges = DamageCharges.Of(Three, [1, 2, 4], [new(5, 15, 1), new(0, 40, 2), new(7, 7, 3)]);
        Assert.Equal([new KeyDamage(1, 1.5, 10), new KeyDamage(2, 5.5, 30), new KeyDamage(3, 0, 0)], charges.ByKey.AsSpan());
        Assert.Equal(0, charges.Elsewhere);
    }

    [Fact]
    public void Without_damage_every_key_is_charged_nothing()
    {
        DamageCharges charges = DamageCharges.Of(Three, [], [new(5, 15, 1)]);
        Assert.Equal([new KeyDamage(1, 0, 10)], charges.ByKey.AsSpan());
        Assert.Equal(0, charges.Elsewhere);
        Assert.Empty(DamageCharges.Of(Three, [1, 2, 4], default).ByKey);
    }

    [Fact]
    public void A_stretch_that_ends_before_it_begins_and_a_wrong_number_of_damages_are_refused()
    {
        Assert.Throws<ArgumentException>(() => DamageCharges.Of(Three, [1, 2, 4], [new(5, 4, 1)]));
        Assert.Throws<ArgumentException>(() => DamageCharges.Of(Three, [1, 2], []));
    }

    // Against the plain way: a key for every sample, the first stretch that covers it.
    [Fact]
    public void Any_stretches_give_what_a_key_for_every_sample_gives_and_sum_to_all_damage() =>
        Gen.Select(
            Gen.Select(Gen.Int[-1, 99], Gen.Int[-1, 99], Gen.Double[0, 1]).Array[0, 60],
            Gen.Select(Gen.Int[0, 99], Gen.Int[0, 30], Gen.Int[0, 5]).Array[0, 12]).Sample(
            (cycles, stretches) =>
            {
                ImmutableArray<ChargeSpan> spans = [.. stretches.Select(s => new ChargeSpan(s.Item1, s.Item1 + s.Item2, s.Item3))];
                double[] zero = new double[cycles.Length];
                CycleCount count = new([.. zero], [.. zero], [.. cycles.Select(c => Math.Min(c.Item1, c.Item2))], [.. cycles.Select(c => Math.Max(c.Item1, c.Item2))], [.. zero]);
                DamageCharges charges = DamageCharges.Of(count, [.. cycles.Select(c => c.Item3)], spans);
                Dictionary<int, double> expected = [];
                int? KeyOf(int sample) => spans.Where(s => sample >= s.First && sample < s.End).Select(s => (int?)s.Key).FirstOrDefault();
                double elsewhere = 0;
                for (int i = 0; i < cycles.Length; i++)
                {
                    int from = count.FromIndex[i] < 0 ? count.ToIndex[i] : count.FromIndex[i];
                    foreach (int sample in new[] { from, count.ToIndex[i] })
                    {
                        if (KeyOf(sample) is { } key)
                        {
                            expected[key] = expected.GetValueOrDefault(key) + (cycles[i].Item3 / 2);
                        }
                        else
                        {
                            elsewhere += cycles[i].Item3 / 2;
                        }
                    }
                }

                Assert.Equal(elsewhere, charges.Elsewhere, 1e-12);
                foreach (KeyDamage key in charges.ByKey)
                {
                    Assert.Equal(expected.GetValueOrDefault(key.Key), key.Damage, 1e-12);
                    Assert.Equal(Enumerable.Range(0, 140).Count(sample => KeyOf(sample) == key.Key), key.Samples);
                }

                Assert.Equal(cycles.Sum(c => c.Item3), charges.ByKey.Sum(k => k.Damage) + charges.Elsewhere, 1e-12);
            },
            seed: "0000KOIkZbA5");
}
