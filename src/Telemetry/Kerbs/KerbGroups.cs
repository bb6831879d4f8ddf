using Telemetry.Car;
using Telemetry.Runs;

namespace Telemetry.Kerbs;

/// <summary>Groups strikes of one side into kerbs by where the wheel stood on the lap.</summary>
/// <remarks>
/// One-dimensional single-link clustering: sorted by place, a step longer than the gap begins a new kerb. The rear wheel stands a wheelbase behind the
/// distance that the log shows, so its strikes are moved back by that. A kerb across the start line is two. Without a distance a pair is its own kerb.
/// </remarks>
internal static class KerbGroups
{
    /// <summary>Gives every strike its kerb, and the kerbs, worst peak first.</summary>
    public static (KerbStrike[] Strikes, List<Kerb> Kerbs) Of(KerbStrike[] strikes, Run run, KerbOptions options)
    {
        List<List<int>> groups = [];
        foreach (bool isLeft in (bool[])[true, false])
        {
            int[] side = [.. Enumerable.Range(0, strikes.Length).Where(i => strikes[i].Corner.IsLeft() == isLeft)];
            int[] known = [.. side.Where(i => double.IsFinite(strikes[i].DistanceM)).OrderBy(i => Place(strikes[i], run)).ThenBy(i => i)];
            for (int k = 0; k < known.Length; k++)
            {
                if (k == 0 || Place(strikes[known[k]], run) - Place(strikes[known[k - 1]], run) > options.KerbGapM)
                {
                    groups.Add([]);
                }

                groups[^1].Add(known[k]);
            }

            foreach (int i in side.Where(i => !double.IsFinite(strikes[i].DistanceM)))
            {
                List<int>? partner = groups.Find(group => group.Exists(member => strikes[member].Number == strikes[i].PairedWith));
                if (partner is null)
                {
                    groups.Add([i]);
                }
                else
                {
                    partner.Add(i);
                }
            }
        }

        groups.Sort((a, b) => Height(strikes, b).CompareTo(Height(strikes, a)) is var order && order != 0 ? order : a.Min().CompareTo(b.Min()));
        KerbStrike[] numbered = [.. strikes];
        List<Kerb> kerbs = [];
        foreach (List<int> group in groups)
        {
            kerbs.Add(Describe(kerbs.Count + 1, [.. group.Select(i => strikes[i])]));
            foreach (int i in group)
            {
                numbered[i] = strikes[i] with { Kerb = kerbs.Count };
            }
        }

        return (numbered, kerbs);
    }

    private static double Place(KerbStrike strike, Run run) =>
        strike.DistanceM - (strike.Corner.Axle() == Axle.Rear ? run.Car.Geometry.WheelbaseM.Value : 0);

    /// <summary>Without a zero the loads themselves are not known; the heights above the quasi-static part still rank the kerbs.</summary>
    private static double WorstBy(KerbStrike strike) => double.IsNaN(strike.PeakLoadN) ? strike.DynamicPeakN : strike.PeakLoadN;

    private static double Height(KerbStrike[] strikes, List<int> group) => group.Max(i => WorstBy(strikes[i]));

    private static Kerb Describe(int number, KerbStrike[] members)
    {
        KerbStrike worst = members.MaxBy(WorstBy)!;
        KerbStrike[] front = [.. members.Where(strike => strike.Corner.Axle() == Axle.Front)];
        double[] places = [.. (front.Length > 0 ? front : members).Select(strike => strike.DistanceM).Order()];
        return new(
            number,
            (places[(places.Length - 1) / 2] + places[places.Length / 2]) / 2,
            worst.Corner.IsLeft(),
            members.Length,
            members.Select(strike => strike.Lap).Distinct().Count(),
            worst.PeakLoadN,
            worst.Corner,
            members.Count(strike => strike.ExceedsLimit))
        {
            WorstIsLowerBound = worst.IsLowerBound,
            Confidence = Confidence(members),
            PlaceScatterM = Scatter(places),
        };
    }

    private static double Confidence(KerbStrike[] members)
    {
        const double MostOfOneAlone = 0.9;
        double none = 1;
        bool isKnown = false;
        foreach (KerbStrike strike in members)
        {
            double probability = strike.Telling.Probability;
            if (double.IsFinite(probability))
            {
                none *= 1 - (strike.PairedWith == 0 ? Math.Min(MostOfOneAlone, probability) : probability);
                isKnown = true;
            }
        }

        return isKnown ? 1 - none : double.NaN;
    }

    private static double Scatter(double[] places)
    {
        if (places.Length < 2)
        {
            return double.NaN;
        }

        double mean = places.Average();
        return Math.Sqrt(places.Sum(place => (place - mean) * (place - mean)) / (places.Length - 1));
    }
}
