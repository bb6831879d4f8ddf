using System.Collections.Immutable;
using Telemetry.Cleaning;
using Telemetry.Review;

namespace Telemetry.Output.Tables;

/// <summary>What was repaired, what was left as logged, and what hangs on it.</summary>
public static class RepairTables
{
    /// <summary>One row a stretch of faulty samples, channel by channel in time order.</summary>
    public static ResultTable Repairs(RunReview review)
    {
        ArgumentNullException.ThrowIfNull(review);
        ImmutableArray<TableColumn> columns = [new("channel", ""), new("fault", ""), new("treatment", ""), new("start", "s", 3), new("end", "s", 3), new("samples", "-")];
        return new("repairs", "Faulty samples, repaired or left as logged", columns,
            [.. Rows(review, review.Cleaning.Done, "straight line"), .. Rows(review, review.Cleaning.Left, "as logged")]);
    }

    /// <summary>The same counted, one row a channel and fault: what fits on a page.</summary>
    public static ResultTable Counts(RunReview review)
    {
        ArgumentNullException.ThrowIfNull(review);
        ImmutableArray<TableColumn> columns =
            [new("channel", ""), new("fault", ""), new("treatment", ""), new("places", "-"), new("samples", "-"), new("longest", "ms", 1), new("first", "s", 3)];
        return new("repair_counts", "Faulty samples, repaired or left as logged", columns,
            [.. Totals(review, review.Cleaning.Done, "straight line"), .. Totals(review, review.Cleaning.Left, "as logged")]);
    }

    /// <summary>Damage, peaks and verdict of each part on which spikes and bridged gaps make a difference, as logged and repaired.</summary>
    public static ResultTable Effects(RunReview review)
    {
        ArgumentNullException.ThrowIfNull(review);
        ImmutableArray<TableColumn> columns =
        [
            new("component", ""), new("this review counts", ""), new("damage as logged", "-", 6), new("damage repaired", "-", 6),
            new("peak compression as logged", "N"), new("peak compression repaired", "N"), new("peak tension as logged", "N"), new("peak tension repaired", "N"),
            new("verdict as logged", ""), new("verdict repaired", ""),
        ];
        return new("repair_effects", "What hangs on faulty samples of the load cells", columns, [.. review.RepairEffects.Select(effect => ImmutableArray.CreateRange<TableCell>(
        [
            effect.ComponentId, effect.IsRepaired ? "repaired" : "as logged", effect.AsLogged.DamageRun, effect.Repaired.DamageRun,
            effect.AsLogged.PeakCompressionN, effect.Repaired.PeakCompressionN, effect.AsLogged.PeakTensionN, effect.Repaired.PeakTensionN,
            SummaryFile.Word(effect.AsLogged.Verdict), SummaryFile.Word(effect.Repaired.Verdict),
        ]))]);
    }

    private static IEnumerable<ImmutableArray<TableCell>> Rows(RunReview review, ImmutableArray<Repair> repairs, string treatment) =>
        from repair in repairs
        from span in repair.Spans
        select ImmutableArray.CreateRange<TableCell>(
            [repair.Channel, Word(repair), treatment, review.Run.Clock.At(span.First), review.Run.Clock.At(span.End - 1), span.Count]);

    private static IEnumerable<ImmutableArray<TableCell>> Totals(RunReview review, ImmutableArray<Repair> repairs, string treatment) =>
        from repair in repairs
        select ImmutableArray.CreateRange<TableCell>(
        [
            repair.Channel, Word(repair), treatment, repair.Spans.Length, repair.Samples,
            repair.Longest * review.Run.Clock.StepS * 1000, review.Run.Clock.At(repair.Spans[0].First),
        ]);

    private static string Word(Repair repair) => SummaryFile.Word(repair.Fault);
}
