using System.Collections.Immutable;
using System.Globalization;
using Telemetry.Fatigue;
using Telemetry.Ledger;

namespace Telemetry.LedgerWriter;

/// <summary>The runs that the writer enters: run n is the same in every process.</summary>
internal static class WriterRuns
{
    /// <summary>Parts of each run.</summary>
    public const int PartCount = 4;

    /// <summary>Damage of run n is n + 1 of these. A power of two, so that any sum of them is exact in whatever order.</summary>
    public const double Quantum = 1.0 / (1 << 30);

    /// <summary>Text kept as the car file: no car file, because nothing here needs a strength.</summary>
    public const string CarText = "# a car of the kill test";

    public static DateTimeOffset Now { get; } = new(2026, 3, 1, 12, 0, 0, TimeSpan.Zero);

    public static string Hash(int number) => string.Create(CultureInfo.InvariantCulture, $"log-{number:D6}");

    public static string Part(int number) => string.Create(CultureInfo.InvariantCulture, $"PR-{number}");

    public static RunFigures Of(int number) => new()
    {
        Run = string.Create(CultureInfo.InvariantCulture, $"run {number}"),
        LogHash = Hash(number),
        StartedAtUtc = Now.AddMinutes(number),
        Car = "a car",
        CarHash = Ledgers.LedgerDatabase.HashOf(CarText),
        Program = "test",
        Settings = "none",
        Laps = [new(1, 4000, 100, true), new(2, 4001, 101, true)],
        Parts = [.. Enumerable.Range(0, PartCount).Select(part => Figures(number, part))],
        Readings = [new("stiffness", "FL", 1000 + number, 2, "N/mm")],
    };

    private static PartFigures Figures(int number, int part) => new()
    {
        Part = Part(part),
        ClosedDamage = (number + 1) * Quantum,
        DamageTold = (number + 1) * Quantum,
        OpenDamageTold = 0,
        CriticalDamage = 1,
        PeakCompressionN = 1000 + number,
        Verdict = ComponentVerdict.Run,
        DamageByLap = [(number + 1) * Quantum, 0],
    };
}
