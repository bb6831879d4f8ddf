using System.Collections.Immutable;

namespace Telemetry.Output.Compared;

/// <summary>A part in every run that carried it.</summary>
/// <param name="Id">Its serial number.</param>
/// <param name="Runs">Its result in each run; null where the car file of the run does not name it.</param>
internal sealed record ComparedPart(string Id, ImmutableArray<SummaryComponent?> Runs)
{
    /// <summary>Every part of the runs, in the order of their car files.</summary>
    public static ImmutableArray<ComparedPart> Of(ImmutableArray<ComparedSubject> runs) =>
    [
        .. runs.SelectMany(run => run.Summary.Components).Select(part => part.Id).Distinct(StringComparer.Ordinal)
            .Select(id => new ComparedPart(id, [.. runs.Select(run => run.Summary.Components.FirstOrDefault(part => string.Equals(part.Id, id, StringComparison.Ordinal)))])),
    ];

    /// <summary>Load as a share of the allowable one, %: 100 at the limit. NaN without a limit.</summary>
    public static double LimitUsedPct(double? margin) => margin is double known && known > -1 ? 100 / (1 + known) : double.NaN;
}
