namespace Telemetry.Ledger;

/// <summary>Runs of the old form of the ledger as entries of the new one.</summary>
public static class OldRuns
{
    /// <summary>A run of the old form: its figures are joined with the runs before it, and what it was made from was not kept.</summary>
    /// <param name="run">The run.</param>
    public static RunFigures Of(RunEntry run)
    {
        ArgumentNullException.ThrowIfNull(run);
        return new()
        {
            Run = run.Run,
            LogHash = run.LogHash,
            StartedAtUtc = run.StartedAtUtc,
            Settings = "taken over from the old form of the ledger",
            Parts = [.. run.Components.Select(part => new PartFigures
            {
                Part = part.Id,
                DamageTold = part.Damage,
                OpenDamageTold = part.Damage is null ? null : part.ResidueDamage ?? 0,
                OpenPointsN = part.Damage is null || part.ResidueN.IsDefault ? [] : part.ResidueN,
                PeakCompressionN = part.PeakCompressionN,
                PeakTensionN = part.PeakTensionN,
                PeakIsLowerBound = part.PeakIsLowerBound,
                ExceededLimit = part.ExceededLimit,
                Verdict = part.Verdict,
            })],
        };
    }
}
