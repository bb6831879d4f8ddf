using System.Collections.Immutable;
using Telemetry.Car;

namespace Telemetry.Output.Plots;

/// <summary>A level of pushrod load that a component may not pass, or is inspected beyond.</summary>
/// <param name="LoadN">Pushrod load, N, compression positive.</param>
/// <param name="IsInspection">True for an inspection threshold, false for a limit.</param>
/// <param name="Components">Ids of the components it belongs to, in the order of the car file.</param>
/// <param name="Corners">Corners whose pushrod it concerns, in listing order.</param>
internal sealed record PushrodLimit(double LoadN, bool IsInspection, ImmutableArray<string> Components, ImmutableArray<Corner> Corners);

/// <summary>Limits of components as levels of pushrod load, so that they can stand beside strikes.</summary>
internal static class PushrodLimits
{
    /// <summary>Levels that are the same to 10 N are one.</summary>
    private const double SameN = 10;

    /// <summary>Levels in compression of the pushrod, lowest first.</summary>
    /// <remarks>Only components that see one pushrod, or one wheel through a constant ratio: for the others no single pushrod load is the limit.</remarks>
    public static ImmutableArray<PushrodLimit> Of(CarDefinition car)
    {
        List<(double Load, bool IsInspection, string Id, Corner Corner)> levels = [];
        foreach (ComponentDefinition component in car.Components)
        {
            if (component.Load.Length != 1 || LoadPerPushrodLoad(car, component.Load[0]) is not { } factor)
            {
                continue;
            }

            double? limit = factor > 0 ? component.CompressionLimitN : component.TensionLimitN;
            double onPart = component.LimitFactor * Math.Abs(factor);
            if (limit is { } allowed)
            {
                levels.Add((allowed / onPart, false, component.Id, component.Load[0].Corner));
            }

            if (component.InspectionThresholdN is { } threshold)
            {
                levels.Add((threshold / onPart, true, component.Id, component.Load[0].Corner));
            }
        }

        return [.. levels.GroupBy(l => (Math.Round(l.Load / SameN), l.IsInspection)).OrderBy(g => g.Key.Item1)
            .Select(g => new PushrodLimit(g.First().Load, g.Key.IsInspection, [.. g.Select(l => l.Id)], [.. g.Select(l => l.Corner).Distinct().Order()]))];
    }

    private static double? LoadPerPushrodLoad(CarDefinition car, LoadTerm term)
    {
        if (term.Factor == 0 || !term.IsMeasuredLoad || term.Ratio is { IsConstant: false })
        {
            return null;
        }

        term = term.Ratio is { } constant ? term with { Factor = term.Factor * constant.Points[0].Ratio } : term;

        if (term.Source == LoadSource.PushrodLoad)
        {
            return term.Factor;
        }

        RatioCurve ratio = car.Suspension[term.Corner.Axle()].InstallationRatio;
        return ratio.IsConstant ? term.Factor * ratio.Points[0].Ratio : null;
    }
}
