using System.Collections.Immutable;
using Telemetry.Car;
using Telemetry.Fatigue;

namespace Telemetry.Review;

/// <summary>A strut's limit and load against what the column formulas say (equation E11).</summary>
/// <param name="ComponentId">The part.</param>
/// <param name="Column">Load at which it buckles when straight and loaded in its centre.</param>
/// <param name="CrookedN">Load at which its edge first yields with its crookedness, N.</param>
/// <param name="LimitMargin">Column allowable over the given compression limit, less 1; NaN without a limit. Below 0 the limit is not plausible.</param>
/// <param name="CrookedLimitMargin">The same with the crooked strut.</param>
/// <param name="PeakMargin">Margin of safety of the run's largest compression against the smaller of both, with the part's factor; NaN without a load.</param>
public sealed record StaticCheck(string ComponentId, ColumnAllowable Column, double CrookedN, double LimitMargin, double CrookedLimitMargin, double PeakMargin);

/// <summary>Column checks of every strut. They make a given limit plausible; they do not replace the designer's.</summary>
public static class StaticChecks
{
    /// <summary>One entry for each part with a strut, in the order of the car file.</summary>
    public static ImmutableArray<StaticCheck> From(FatigueResult fatigue)
    {
        ArgumentNullException.ThrowIfNull(fatigue);
        return [.. fatigue.Components.Where(part => part.Component.Strut is not null).Select(Of)];
    }

    private static StaticCheck Of(ComponentResult part)
    {
        ComponentDefinition component = part.Component;
        ColumnAllowable column = ColumnAllowable.Of(component.Strut!);
        double crooked = CrookedColumn.FirstYieldN(component.Strut!);
        return new(
            component.Id,
            column,
            crooked,
            Over(column.LoadN, component.CompressionLimitN),
            Over(crooked, component.CompressionLimitN),
            Kerbs.LimitMargin.Of(Math.Min(column.LoadN, crooked), component.LimitFactor, part.PeakCompressionN));
    }

    private static double Over(double allowableN, double? limitN) => limitN is { } limit ? (allowableN / limit) - 1 : double.NaN;
}
