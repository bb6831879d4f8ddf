namespace Telemetry.Output.Days;

/// <summary>Takes from a summary what the day's page shows.</summary>
public static class DayHeadlines
{
    /// <summary>The headline of a summary.</summary>
    public static DayHeadline Of(Summary summary)
    {
        ArgumentNullException.ThrowIfNull(summary);
        return new()
        {
            Car = summary.Car.Name,
            Laps = summary.Laps.Length,
            DurationS = summary.Run.DurationS,
            Health = summary.Health.Verdict,
            Findings = summary.Health.Findings.Length,
            AeroWithheldBecause = summary.Aero.WithheldBecause,
            ReferenceSpeedKmh = summary.Aero.ReferenceSpeedKmh,
            Aero = summary.Aero.WithheldBecause is null ? [.. summary.Aero.Curve.Select(Aero).OfType<DayAero>()] : [],
            Strikes = summary.Kerbs.Strikes,
            Exceedances = summary.Kerbs.Exceedances,
            Peak = summary.Components.SelectMany(Peaks).MaxBy(peak => peak.LoadN),
            Life = [.. summary.Components.Where(part => part.DamageRun is not null).Select(part => new DayLife(part.Id, part.LifeUsedPct, part.Verdict))],
            Actions = summary.Actions,
        };
    }

    private static DayAero? Aero(SummaryAeroAtSpeed at) => at is { SpeedKmh: double speed, Front.ClaM2: { } front, Rear.ClaM2: { } rear } ? new(speed, front, rear, at.BalanceFrontPct) : null;

    private static IEnumerable<DayPeak> Peaks(SummaryComponent part)
    {
        if (part.PeakCompressionN is double push)
        {
            yield return new(part.Id, push, part.PeakCompressionUncertaintyN, false, part.PeakIsLowerBound);
        }

        if (part.PeakTensionN is double pull)
        {
            yield return new(part.Id, pull, part.PeakTensionUncertaintyN, true, part.PeakIsLowerBound);
        }
    }
}
