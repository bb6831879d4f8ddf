using System.Collections.Immutable;
using Telemetry.Aero;
using Telemetry.Cleaning;
using Telemetry.CrossChecks;
using Telemetry.Fatigue;
using Telemetry.Health;
using Telemetry.Kerbs;
using Telemetry.Modes;
using Telemetry.Platform;
using Telemetry.Runs;
using Telemetry.WheelLoads;

namespace Telemetry.Review;

/// <summary>Everything that is known of a run, as plain data. The only thing that tables, plots, report and ledger see.</summary>
public sealed record RunReview
{
    /// <summary>The run: channels, clock, laps, car.</summary>
    public required Run Run { get; init; }

    /// <summary>Can the log be trusted?</summary>
    public required RunHealth Health { get; init; }

    /// <summary>What was repaired before the loads were formed, and what was left as logged.</summary>
    public required CleanedRun Cleaning { get; init; }

    /// <summary>What hangs on spikes and repairs of the load cells: one entry for each part that they make a difference to; empty when there are none.</summary>
    public ImmutableArray<RepairEffect> RepairEffects { get; init; } = [];

    /// <summary>What the sensors say of each other; <see cref="CrossCheckResult.None"/> when they were not asked.</summary>
    public CrossCheckResult CrossChecks { get; init; } = CrossCheckResult.None;

    /// <summary>Wheel loads, with the zeroed pushrod loads they were made from.</summary>
    public required WheelLoadSet Wheels { get; init; }

    /// <summary>Heave, pitch, roll and warp.</summary>
    public required ModeSet Modes { get; init; }

    /// <summary>Aero load.</summary>
    public required AeroResult Aero { get; init; }

    /// <summary>Lift areas and balance against both ride heights, from this run alone.</summary>
    public RideHeightMap HeightMap { get; init; } = RideHeightMap.Withheld("No map was asked for.");

    /// <summary>Aero balance on straights, under braking entry and in fast corners; null when it was not asked for.</summary>
    public BalanceByCondition? Balance { get; init; }

    /// <summary>Ride height, third elements, roll share.</summary>
    public required PlatformResult Platform { get; init; }

    /// <summary>Kerb strikes.</summary>
    public required KerbResult Kerbs { get; init; }

    /// <summary>Peaks, cycles and damage of every component.</summary>
    public required FatigueResult Fatigue { get; init; }

    /// <summary>Kerbs by what they cost the parts, the most costly first.</summary>
    public ImmutableArray<KerbCost> KerbCosts { get; init; } = [];

    /// <summary>Where the damage of each part came from.</summary>
    public ImmutableArray<DamageSource> DamageSources { get; init; } = [];

    /// <summary>Numbers of each corner and part that are worth keeping for later runs; empty when the run is too short.</summary>
    public ImmutableArray<RunReading> Readings { get; init; } = [];

    /// <summary>What to look at after the run, in order, and why.</summary>
    public ImmutableArray<InspectionItem> Inspections { get; init; } = [];

    /// <summary>Why load against travel was not held against earlier runs, or null.</summary>
    public string? NoDriftBecause { get; init; }

    /// <summary>What needs a person before the next run, most urgent first; empty when nothing does.</summary>
    public required ImmutableArray<ActionItem> Actions { get; init; }

    /// <summary>Version of the library that made the review.</summary>
    public required string LibraryVersion { get; init; }
}

/// <summary>How urgent an action is.</summary>
public enum ActionUrgency
{
    /// <summary>The car should not go out before this is settled.</summary>
    BeforeNextRun,

    /// <summary>Soon; the answers or the part suffer otherwise.</summary>
    Soon,
}

/// <summary>One thing to do.</summary>
/// <param name="Urgency">How urgent.</param>
/// <param name="Subject">What it concerns: a component id, a channel, the log.</param>
/// <param name="Instruction">What to do, as an instruction ("Retire ...", "Inspect ...").</param>
/// <param name="Because">Why, with numbers.</param>
public sealed record ActionItem(ActionUrgency Urgency, string Subject, string Instruction, string Because);
