using System.Collections.Immutable;

namespace Telemetry.Car;

/// <summary>A calibration as the car file records it: loads that were known, and what the cells read under them, in the order in which they were applied.</summary>
/// <remarks>
/// Two kinds. On a bench, or with weights hung on, one cell carries known loads: <see cref="Corner"/> says which. With the whole car on its scales the
/// weight under each wheel is known at several ballasts and all four cells read at once: <see cref="Corner"/> is null.
/// </remarks>
public sealed record CalibrationRecord
{
    /// <summary>Its place in the file, from 1.</summary>
    public required int Number { get; init; }

    /// <summary>The day it was made; null when the file does not say.</summary>
    public DateOnly? Date { get; init; }

    /// <summary>The last day on which it holds; null when the file does not say.</summary>
    public DateOnly? ValidUntil { get; init; }

    /// <summary>Who made it and with what, as free text; null when the file does not say.</summary>
    public string? By { get; init; }

    /// <summary>Serial number of the cell that was loaded; null when the file does not say.</summary>
    public string? CellSerial { get; init; }

    /// <summary>The one cell that carried known loads; null when the car stood on its scales.</summary>
    public Corner? Corner { get; init; }

    /// <summary>Known loads, N: on the cell itself on a bench (compression positive), under each wheel on scales. One value a step; default for cells that are not in the record.</summary>
    public required PerCorner<ImmutableArray<double>> AppliedN { get; init; }

    /// <summary>What the cells read, N, as the log shows it (before the channel's sign); default for cells that are not in the record.</summary>
    public required PerCorner<ImmutableArray<double>> ReadingN { get; init; }

    /// <summary>On scales: damper travel from the static position at each step, m, bump positive; default where it was not noted, and the ratio at the static position is then used.</summary>
    public required PerCorner<ImmutableArray<double>> DamperTravelM { get; init; }

    /// <summary>Standard uncertainty of all known loads together, as a share of the load.</summary>
    public required double AppliedUncertaintyShare { get; init; }
}
