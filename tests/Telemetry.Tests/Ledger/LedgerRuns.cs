using System.Collections.Immutable;
using Telemetry.Fatigue;
using Telemetry.Ledger;
using Telemetry.Ledgers;

namespace Telemetry.Tests.Ledger;

/// <summary>Entries of a ledger made in code.</summary>
internal static class LedgerRuns
{
    public static readonly DateTimeOffset Now = new(2026, 4, 1, 12, 0, 0, TimeSpan.Zero);

    public static readonly DateTimeOffset FirstStart = new(2026, 3, 1, 10, 0, 0, TimeSpan.Zero);

    /// <summary>A real car file with parts that have S-N lines.</summary>
    public static string CarText { get; } = File.ReadAllText(Path.Combine(Repository.Root, "sample-runs", "baseline", "car.toml"));

    public static string CarHash { get; } = LedgerDatabase.HashOf(CarText);

    public static ImmutableArray<string> PartsOfCar { get; } = [.. Telemetry.Car.CarFile.Parse(CarText, "car.toml").Components.Where(part => part.Fatigue is { SmallestRangeN: 0 }).Select(part => part.Id)];

    public static PartFigures Part(string id, double damage, params double[] open) => new()
    {
        Part = id,
        Description = "pushrod",
        Corner = "FL",
        ClosedDamage = damage,
        OpenPointsN = [.. open],
        DamageTold = damage,
        OpenDamageTold = 0,
        CriticalDamage = 0.5,
        PeakCompressionN = 10_000.1,
        PeakTensionN = 1.0 / 3,
        Verdict = ComponentVerdict.Inspect,
        DamageByLap = [damage / 2, damage / 2],
    };

    public static RunFigures Run(string hash, params PartFigures[] parts) => new()
    {
        Run = "run " + hash,
        LogHash = hash,
        Car = "car 7",
        CarHash = CarHash,
        Program = "0.1.0",
        Settings = "none",
        Laps = [new(1, 4001.5, 100.25, true), new(2, null, 90, false)],
        Parts = [.. parts],
        Readings = [new("stiffness", "FL", 123.4, 1.5, "N/mm"), new("stiffness", "FR", 125, double.NaN, "N/mm")],
    };

    /// <summary>As <see cref="Run"/>, begun some minutes after the first.</summary>
    public static RunFigures At(int minute, RunFigures run) => run with { StartedAtUtc = FirstStart.AddMinutes(minute) };

    public static LedgerEntry Entry(long number, RunFigures run) => new() { Number = number, Kind = EntryKind.Run, AtUtc = run.StartedAtUtc ?? Now, EnteredAtUtc = Now, Run = run };

    public static LedgerEntry Mark(EntryKind kind, string part, int minute = 0, long number = 0) => new()
    {
        Number = number,
        Kind = kind,
        Part = part,
        AtUtc = FirstStart.AddMinutes(minute),
        EnteredAtUtc = Now,
    };

    public static PartStrengths Strengths() => new(new Dictionary<string, string> { [CarHash] = CarText });
}
