using System.Globalization;
using Telemetry.Car;
using Telemetry.Health;
using Telemetry.Output;
using Telemetry.Zero;

namespace Telemetry.Cli.Verbs;

/// <summary>What the calibrations of a car file say, as lines for a screen; none for a car without.</summary>
internal static class CalibrationSheet
{
    public static IEnumerable<SheetLine> Of(CarDefinition car, DateOnly? day)
    {
        if (car.Calibrations.IsEmpty)
        {
            yield break;
        }

        CalibrationSet set = CellCalibrations.Of(car, day);
        yield return new("Calibrations of the load cells (terms in % of the output at the largest calibrated load):", Tone.Heading);
        foreach ((Corner corner, CellCalibration? cell) in set.Cells.Each())
        {
            if (cell is null)
            {
                yield return new($"  {corner.Code()}: none; gain 1", Tone.Warning);
                continue;
            }

            string made = cell.Date is DateOnly date ? " of " + Say(date) : "";
            string until = cell.ValidUntil is DateOnly end ? ", valid until " + Say(end) : "";
            string by = cell.By is string who ? $", {who}" : "";
            yield return new($"  {corner.Code()}: record {cell.RecordNumber}{made}{until}{by}", Tone.Plain);
            yield return new(FormattableString.Invariant($"      gain {cell.Gain:0.0000} +-{196 * cell.GainUncertainty:0.00} % (95 %), {cell.Steps} steps to {cell.FullScaleN / 1000:0.00} kN"), Tone.Plain);
            yield return new($"      linearity {Pct(cell.LinearityPct)}, hysteresis {Pct(cell.HysteresisPct)}, repeatability {Pct(cell.RepeatabilityPct)}, zero return {Pct(cell.ZeroReturnPct)}", Tone.Plain);
            foreach ((Corner other, double? share) in cell.CrossTalk.Each().Where(talk => talk.Corner != corner && talk.Value is not null))
            {
                yield return new(FormattableString.Invariant($"      cross-talk from {other.Code()}: {100 * share!.Value:+0.00;-0.00} +-{196 * (cell.CrossTalkUncertainty[other] ?? 0):0.00} % of its load (95 %)"), Tone.Plain);
            }

            if (cell.Note is string note)
            {
                yield return new("      " + note, Tone.Muted);
            }
        }

        foreach (HealthFinding finding in set.Findings)
        {
            yield return new($"  {finding.Message} {finding.Remedy}", finding.Severity == HealthVerdict.Good ? Tone.Muted : Tone.Warning);
        }
    }

    private static string Pct(double? value) => value is double known ? known.ToString("0.000", CultureInfo.InvariantCulture) + " %" : "not determined";

    private static string Say(DateOnly day) => day.ToString("yyyy-MM-dd", CultureInfo.InvariantCulture);
}
