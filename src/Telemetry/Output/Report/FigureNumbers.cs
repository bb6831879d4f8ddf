using System.Collections.Immutable;
using Telemetry.Fatigue;
using Telemetry.Output.Plots;
using Telemetry.Review;
using Telemetry.Runs;

namespace Telemetry.Output.Report;

/// <summary>What the page's figures need of whole channels and of all cycles: made while pictures are drawn, so that the page, which comes last, has only to write it down.</summary>
/// <param name="HardestLap">The lap with the largest pushrod load; null when no load is known.</param>
/// <param name="Knots">Distances along the laps, see <see cref="BucketGrid.Knots"/>.</param>
/// <param name="Exceedance">Counts and ranges of the parts that have a line.</param>
/// <param name="Band">The band of the first of them, or null.</param>
internal sealed record FigureNumbers(Lap? HardestLap, float[] Knots, ImmutableArray<(ComponentResult Part, double[] Counts, double[] Ranges)> Exceedance, ExceedanceBand? Band)
{
    public static FigureNumbers Of(RunReview review, BucketGrid grid)
    {
        ImmutableArray<(ComponentResult Part, double[] Counts, double[] Ranges)> lines =
        [
            .. ExceedancePicture.Shown(review.Fatigue).Select(part =>
            {
                (double[] counts, double[] ranges) = ExceedancePicture.Curve(part.Cycles);
                return (part, counts, ranges);
            }),
        ];
        return new(
            ModePanels.Hardest(review, ModePanels.Comparable(review.Run))?.Lap,
            grid.Knots(review.Run),
            lines,
            lines.IsEmpty ? null : ExceedanceBand.Of(lines[0].Part, review.Run.Laps));
    }
}
