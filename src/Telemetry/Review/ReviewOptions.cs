using Telemetry.Aero;
using Telemetry.Cleaning;
using Telemetry.CrossChecks;
using Telemetry.Fatigue;
using Telemetry.Health;
using Telemetry.Kerbs;
using Telemetry.Platform;
using Telemetry.WheelLoads;
using Telemetry.Zero;

namespace Telemetry.Review;

/// <summary>The options of every stage, and what earlier runs did to the parts.</summary>
public sealed record ReviewOptions
{
    /// <summary>Defaults of every stage, and parts that are new.</summary>
    public static ReviewOptions Default { get; } = new();

    /// <summary>From what size on something is a finding.</summary>
    public HealthOptions Health { get; init; } = HealthOptions.Default;

    /// <summary>What is repaired before the loads are formed.</summary>
    public CleaningOptions Cleaning { get; init; } = CleaningOptions.Default;

    /// <summary>How zeros are found.</summary>
    public ZeroOptions Zero { get; init; } = ZeroOptions.Default;

    /// <summary>How wheel loads are formed.</summary>
    public WheelLoadOptions WheelLoads { get; init; } = WheelLoadOptions.Default;

    /// <summary>How sensors are held against each other.</summary>
    public CrossCheckOptions CrossChecks { get; init; } = CrossCheckOptions.Default;

    /// <summary>How aero load is estimated.</summary>
    public AeroOptions Aero { get; init; } = AeroOptions.Default;

    /// <summary>How the platform is looked at.</summary>
    public PlatformOptions Platform { get; init; } = PlatformOptions.Default;

    /// <summary>How kerb strikes are found.</summary>
    public KerbOptions Kerbs { get; init; } = KerbOptions.Default;

    /// <summary>How cycles are counted.</summary>
    public FatigueOptions Fatigue { get; init; } = FatigueOptions.Default;

    /// <summary>Readings of earlier runs of the same parts; empty (default) when none are kept.</summary>
    public PartHistory History { get; init; } = PartHistory.Empty;

    /// <summary>What earlier runs did to the parts; empty (default) when no ledger is kept.</summary>
    public DamageHistory DamageBefore { get; init; } = DamageHistory.Empty;
}
