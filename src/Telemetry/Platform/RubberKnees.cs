using System.Collections.Immutable;
using Telemetry.Aero;
using Telemetry.Car;

namespace Telemetry.Platform;

/// <summary>Where the bump rubber of an axle is met, and what it takes.</summary>
internal static class RubberKnees
{
    private const int MostRows = 3000;
    private const int FewestRows = 200;
    private const int FewestBeyond = 20;
    private const double CurveStepM = 0.0005;

    /// <summary>Standard uncertainty of the travel's zero, m: friction leaves a standing car a tenth of a millimetre from where it belongs; common practice, no source.</summary>
    private const double TravelZeroM = 0.0001;

    /// <summary>The widest half interval of a knee that is still given, m.</summary>
    private const double WidestM = 0.003;

    /// <summary>The knee of one axle; null where the car file gives the axle no third element.</summary>
    public static RubberKnee? From(PlatformBlocks blocks, AeroResult aero, Axle axle)
    {
        CarDefinition car = blocks.Run.Car;
        AxleSuspension suspension = car.Suspension[axle];
        if (suspension.Third is not { } third)
        {
            return null;
        }

        double? gap = third.RubberGapM;
        int left = axle == Axle.Front ? 0 : 2;
        if (blocks.DamperM is not { } damper)
        {
            return Withheld(gap, "Withheld: the knee needs the travel of both dampers.");
        }

        List<(double Travel, double Force, double Speed, int Group, int Block)> rows = [];
        for (int i = 0; i < blocks.Quiet.Length; i++)
        {
            int k = blocks.Quiet[i];
            double l = damper[left][k];
            double r = damper[left + 1][k];
            double force = (blocks.Means.LoadN[left][k] / suspension.DamperRatio.At(l)) + (blocks.Means.LoadN[left + 1][k] / suspension.DamperRatio.At(r));
            double speed = (damper[left][k + 1] + damper[left + 1][k + 1] - damper[left][k - 1] - damper[left + 1][k - 1]) / (4 * blocks.StepS);
            if (double.IsFinite(force + speed))
            {
                rows.Add(((l + r) / 2, force, speed, blocks.Group[i], k));
            }
        }

        if (rows.Count < FewestRows || blocks.Groups < 3)
        {
            return Withheld(gap, FormattableString.Invariant($"Withheld: only {rows.Count} quiet tenths of a second; {FewestRows} are needed."));
        }

        int stride = Math.Max(1, (rows.Count + MostRows - 1) / MostRows);
        var used = rows.Where((_, i) => i % stride == 0).ToArray();
        double[] travel = [.. used.Select(r => r.Travel)];
        double[] sorted = [.. travel.Order()];
        double low = sorted[sorted.Length / 10];
        double high = sorted[Math.Max(0, sorted.Length - 1 - FewestBeyond)];
        double[] force2 = [.. used.Select(r => r.Force)];
        double[] speeds = [.. used.Select(r => r.Speed)];
        int[] groups = [.. used.Select(r => r.Group)];
        KneeSearch search = new(travel, force2, speeds, groups, blocks.Groups, third.Rubber.IsDefaultOrEmpty ? null : third);
        if (search.Find(low, high) is not { } found)
        {
            return Withheld(gap, "Withheld: the axle does not become stiffer anywhere in the travel that was driven.") with { LargestTravelM = sorted[^1], Curve = Curve(rows, null, null) };
        }

        return Judged(blocks, aero, axle, gap, sorted[^1], rows, search, found.All, found.Without, suspension);
    }

    private static RubberKnee Judged(
        PlatformBlocks blocks, AeroResult aero, Axle axle, double? gap, double largestM,
        List<(double Travel, double Force, double Speed, int Group, int Block)> rows, KneeSearch search, Knee all, Knee[] without, AxleSuspension suspension)
    {
        double gain = blocks.Run.Car.Mapping(axle == Axle.Front ? ChannelRole.DamperTravelFL : ChannelRole.DamperTravelRL)?.GainUncertainty ?? 0;
        Estimate? knee = GroupJackknife.Of(all.TravelM, [.. without.Select(w => w.TravelM)], double.Hypot(TravelZeroM, gain * all.TravelM));
        Estimate? strength = GroupJackknife.Of(search.Rubber(all, largestM), [.. without.Select(w => search.Rubber(w, largestM))]);
        if (knee is null || strength is null || !(strength.Low95 > 0) || knee.HalfWidth > WidestM)
        {
            string how = knee is null ? "" : FormattableString.Invariant($" (the best place for it would be {1000 * knee.Value:0.0} ± {1000 * knee.HalfWidth:0.0} mm)");
            return Withheld(gap, FormattableString.Invariant($"Withheld: up to {1000 * largestM:0.0} mm of travel no stiffening stands out of the scatter from lap to lap{how}.")) with { LargestTravelM = largestM, Curve = Curve(rows, null, null) };
        }

        double middle = suspension.DamperRatio.At(all.TravelM);
        double[] at = [.. aero.Cut.Where(w => w.Pass > 0 && Math.Abs(w.SpeedMps - aero.ReferenceSpeedMps) < 3)
            .SelectMany(w => Enumerable.Range(w.StartIndex / blocks.Means.Length, BlockMeans.PerWindow))
            .Select(k => MeanTravel(blocks, axle, k)).Where(double.IsFinite)];
        Estimate? atReference = null;
        Estimate? share = null;
        if (at.Length > 0)
        {
            double travel = at.Average();
            double load = rows.MinBy(r => Math.Abs(r.Travel - travel)).Force * middle;
            atReference = GroupJackknife.Of(middle * search.Rubber(all, travel), [.. without.Select(w => middle * search.Rubber(w, travel))]);
            share = atReference is null ? null : new(100 * atReference.Value / load, 100 * atReference.Low95 / load, 100 * atReference.High95 / load);
        }

        string verdict = gap is not double stated
            ? FormattableString.Invariant($"Met at {1000 * knee.Value:0.0} mm; the car file gives no gap.")
            : stated >= knee.Low95 && stated <= knee.High95
                ? FormattableString.Invariant($"Agrees with the car file's gap of {1000 * stated:0.0} mm.")
                : FormattableString.Invariant($"Met {1000 * Math.Abs(knee.Value - stated):0.0} mm {(knee.Value < stated ? "earlier" : "later")} than the car file's gap of {1000 * stated:0.0} mm: look at packers and at the file.");
        return new(knee, gap, atReference, share, largestM, new(middle * strength.Value, middle * strength.Low95, middle * strength.High95), verdict, Curve(rows, search, all));
    }

    private static double MeanTravel(PlatformBlocks blocks, Axle axle, int block)
    {
        int left = axle == Axle.Front ? 0 : 2;
        return block < blocks.Means.Count ? (blocks.DamperM![left][block] + blocks.DamperM[left + 1][block]) / 2 : double.NaN;
    }

    private static RubberKnee Withheld(double? gap, string verdict) => new(null, gap, null, null, double.NaN, null, verdict, []);

    private static ImmutableArray<TravelLoad> Curve(List<(double Travel, double Force, double Speed, int Group, int Block)> rows, KneeSearch? search, Knee? knee) =>
    [
        .. rows.GroupBy(r => (int)Math.Floor(r.Travel / CurveStepM)).OrderBy(g => g.Key).Where(g => g.Count() >= 3).Select(g =>
        {
            double travel = g.Average(r => r.Travel);
            double without = knee is null || search is null ? double.NaN : knee.Coefficients[0] + (knee.Coefficients[1] * travel);
            return new TravelLoad(travel, g.Average(r => r.Force), without, g.Count());
        }),
    ];
}
