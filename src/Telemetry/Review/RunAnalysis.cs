using System.Collections.Immutable;
using Telemetry.Aero;
using Telemetry.Car;
using Telemetry.Cleaning;
using Telemetry.CrossChecks;
using Telemetry.Fatigue;
using Telemetry.Health;
using Telemetry.Kerbs;
using Telemetry.Logs;
using Telemetry.Modes;
using Telemetry.Platform;
using Telemetry.Runs;
using Telemetry.WheelLoads;
using Telemetry.Zero;

namespace Telemetry.Review;

/// <summary>The whole line from a log and a car to the review.</summary>
public static class RunAnalysis
{
    /// <summary>Runs every stage in the order of the data; stages that do not need each other run side by side.</summary>
    /// <param name="log">The log.</param>
    /// <param name="car">The car.</param>
    /// <param name="options">Options of every stage.</param>
    /// <param name="begin">Told the name of each step as it begins, from any thread; null when nobody listens.</param>
    /// <returns>The review: the same for the same input, however many cores there are.</returns>
    /// <exception cref="InputError">Log and car do not fit together.</exception>
    public static RunReview Review(RunLog log, CarDefinition car, ReviewOptions options, Action<string>? begin = null)
    {
        ArgumentNullException.ThrowIfNull(log);
        ArgumentNullException.ThrowIfNull(car);
        ArgumentNullException.ThrowIfNull(options);
        begin?.Invoke("joining log and car");
        Run run = RunAssembly.From(log, car);
        begin?.Invoke("health, zero and wheel loads");
        RunHealth channels = HealthCheck.From(run, options.Health);
        CleanedRun cleaned = ChannelCleaning.From(run, channels, options.Cleaning);
        WheelLoadSet wheels = Loads(cleaned.Run, options);
        RunHealth before = channels.With(wheels.Pushrods.Findings).With(wheels.Findings);

        begin?.Invoke("cross-checks, modes, aero load, platform, kerb strikes and fatigue");
        // Counting cycles and finding strikes need nothing of the cross-checks, judging them does: whoever needs the cross-checks first makes them, beside the others.
        Lazy<Believed> believed = new(() => Believed.Of(cleaned.Run, wheels, before, options));
        ModeSet? modes = null;
        AeroResult? aero = null;
        RideHeightMap? map = null;
        BalanceByCondition? balance = null;
        PlatformResult? platform = null;
        KerbResult? kerbs = null;
        FatigueResult? fatigue = null;
        ImmutableArray<RunReading> corners = [];
        // The longest line of stages first, so that it is not the one that all wait for.
        Workers.Steps(
            () =>
            {
                AeroResult found = aero = AeroEstimate.From(wheels, options.Aero with { WithholdBecause = options.Aero.WithholdBecause ?? WhyUnusable(believed.Value.Health) });
                Workers.Steps(
                    () => map = RideHeightMapping.From([new RunOnMap(cleaned.Run.Name, wheels, found)], RideHeightMapOptions.Default, options.Aero),
                    () => balance = BalanceConditions.From(wheels, found, BalanceOptions.Default, options.Aero),
                    () => platform = PlatformAnalysis.From(wheels, found, options.Platform with { NoRollShareBecause = believed.Value.Trust.FirstReason }));
            },
            () => corners = RunReadings.OfCorners(wheels),
            () => modes = ModeDecomposition.From(wheels),
            () => kerbs = KerbStrikes.From(wheels, options.Kerbs, () => believed.Value.Kerbs),
            () => fatigue = FatigueAnalysis.From(wheels, options.DamageBefore, options.Fatigue, () => believed.Value.Fatigue));
        ImmutableArray<RepairEffect> effects = RepairEffect.Of(fatigue!, Otherwise(cleaned, channels, options with { Fatigue = believed.Value.Fatigue }), RepairsLoads(cleaned));
        RunHealth health = believed.Value.Health.With(kerbs!.Findings);
        ImmutableArray<KerbCost> costs = [];
        ImmutableArray<DamageSource> sources = [];
        Workers.Steps(
            () => sources = DamageSource.From(cleaned.Run, kerbs, fatigue!),
            () => costs = KerbRanking.From(kerbs, fatigue!));
        RunReview review = new()
        {
            Run = cleaned.Run,
            Health = health,
            Cleaning = cleaned,
            RepairEffects = effects,
            Wheels = wheels,
            CrossChecks = believed.Value.Cross,
            Modes = modes!,
            Aero = aero!,
            HeightMap = map!,
            Balance = balance,
            Platform = platform!,
            Kerbs = kerbs!,
            Fatigue = fatigue!,
            KerbCosts = costs,
            DamageSources = sources,
            Actions = ActionList.Of(health, kerbs!, fatigue!, effects),
            Readings = [.. corners, .. RunReadings.OfParts(fatigue!)],
            LibraryVersion = typeof(RunAnalysis).Assembly.GetName().Version?.ToString(3) ?? "",
        };
        return review with { Inspections = InspectionList.From(review, options.History), NoDriftBecause = InspectionList.NoDriftBecause(review, options.History) };
    }

    private static WheelLoadSet Loads(Run run, ReviewOptions options) =>
        WheelLoadFormation.From(ZeroOffsets.From(run, options.Zero), options.WheelLoads);

    private static bool RepairsLoads(CleanedRun cleaned) => cleaned.Done.Any(repair => repair.IsLoad);

    /// <summary>
    /// Fatigue with the other choice about faulty samples of the load cells: as logged where they were repaired, without the spikes where they were kept.
    /// Null when the choice makes no difference.
    /// </summary>
    private static FatigueResult? Otherwise(CleanedRun cleaned, RunHealth channels, ReviewOptions options)
    {
        Run? other = RepairsLoads(cleaned) ? cleaned.AsLogged
            : cleaned.Left.Any(repair => repair is { IsLoad: true, Fault: RepairedFault.Spike }) ? ChannelCleaning.From(cleaned.AsLogged, channels, options.Cleaning with { RemoveSpikes = true }).Run
            : null;
        return other is null ? null : FatigueAnalysis.From(Loads(other, options), options.DamageBefore, options.Fatigue);
    }

    /// <summary>The first finding that makes the log unusable, for the answers that need every channel; null when there is none.</summary>
    private static string? WhyUnusable(RunHealth health) =>
        health.Verdict == HealthVerdict.Unusable ? $"{health.Findings[0].Channel}: {health.Findings[0].Message}" : null;

    /// <summary>What the sensors say of each other, and what can be believed after that.</summary>
    /// <param name="Cross">The cross-checks.</param>
    /// <param name="Health">Findings so far, theirs among them.</param>
    /// <param name="Trust">Which corners' cells the answers may rest on.</param>
    /// <param name="Fatigue">What the parts are judged by.</param>
    /// <param name="Kerbs">What the strikes are judged by.</param>
    private sealed record Believed(CrossCheckResult Cross, RunHealth Health, CornerTrust Trust, FatigueOptions Fatigue, KerbOptions Kerbs)
    {
        public static Believed Of(Run run, WheelLoadSet wheels, RunHealth before, ReviewOptions options)
        {
            CrossCheckResult cross = SensorCrossChecks.From(wheels, options.CrossChecks);
            RunHealth health = before.With(cross.Findings);
            CornerTrust trust = CornerTrust.Of(run, health, cross);
            return new(
                cross,
                health,
                trust,
                options.Fatigue with { WithheldBecause = trust.WrongBecause, DoubtedBecause = PerCorner.Of(corner => trust.DoubtedBecause[corner] ?? trust.FilteredBecause[corner]) },
                options.Kerbs with { NotJudgedBecause = trust.WrongBecause, PeaksCutBecause = trust.FilteredBecause });
        }
    }
}
