using System.Collections.Immutable;
using Telemetry.Car;
using Telemetry.Health;
using Telemetry.Runs;
using Telemetry.Zero;

namespace Telemetry.WheelLoads;

/// <summary>Forces at the wheel centres that the pushrods carry, and what lies beside them; all on the run's clock.</summary>
public sealed record WheelLoadSet
{
    /// <summary>The run they belong to.</summary>
    public required Run Run { get; init; }

    /// <summary>The zeroed pushrod loads they were made from.</summary>
    public required ZeroedLoads Pushrods { get; init; }

    /// <summary>F = i(x) * P of each corner at the full rate, N, upward on the car positive; NaN where the cell gave none or travel lies outside the ratio table. Equation E1.</summary>
    public required PerCorner<SampleSource> LoadN { get; init; }

    /// <summary>Wheel travel from the static position, m, bump positive: integral of dx / d(x), made from damper travel when it is read; null where there is no potentiometer.</summary>
    public required PerCorner<SampleSource?> WheelTravelM { get; init; }

    /// <summary>Samples of each corner whose travel lay outside a ratio table; their load and travel are NaN.</summary>
    public required PerCorner<int> OutsideTable { get; init; }

    /// <summary>Load between tyre and road, N: F plus unsprung weight and inertia and the transfers that links carry (equation E2), made when it is read; null where the car file lacks what it takes.</summary>
    public required PerCorner<SampleSource>? ContactPatchLoadN { get; init; }

    /// <summary>Why there is no contact-patch load, or null.</summary>
    public required string? ContactPatchWithheldBecause { get; init; }

    /// <summary>What a person should know: travel missing, travel outside a ratio table.</summary>
    public required ImmutableArray<HealthFinding> Findings { get; init; }
}
