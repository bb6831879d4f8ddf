using Telemetry.Car;

namespace Telemetry.Zero;

/// <summary>What a calibration says of one load cell, with the terms of a load cell's data sheet.</summary>
/// <remarks>
/// Full scale is the largest load of the calibration. Terms as data sheets and the general standards use them (ASTM E74, ISO 376, OIML R 60; from memory,
/// no copy was seen), each in percent of the output at full scale.
/// </remarks>
public sealed record CellCalibration
{
    /// <summary>The cell's corner.</summary>
    public required Corner Corner { get; init; }

    /// <summary>Place of the record in the car file, from 1.</summary>
    public required int RecordNumber { get; init; }

    /// <summary>True when the car stood on its scales, false when the cell alone carried known loads.</summary>
    public required bool OnScales { get; init; }

    /// <summary>The day it was made, or null.</summary>
    public required DateOnly? Date { get; init; }

    /// <summary>The last day on which it holds, or null.</summary>
    public required DateOnly? ValidUntil { get; init; }

    /// <summary>Who made it, or null.</summary>
    public required string? By { get; init; }

    /// <summary>Reading per true load, N/N: 1.01 reads 1 % too much.</summary>
    public required double Gain { get; init; }

    /// <summary>Standard uncertainty of the gain, as a share of it: scatter of the fit, the known loads, linearity, hysteresis, and on scales the installation ratio.</summary>
    public required double GainUncertainty { get; init; }

    /// <summary>Reading per load in each other cell, N/N; 0 for the cell itself; null where the loads did not move apart enough to tell.</summary>
    public required PerCorner<double?> CrossTalk { get; init; }

    /// <summary>Standard uncertainty of each cross-talk, N/N; null where there is none.</summary>
    public required PerCorner<double?> CrossTalkUncertainty { get; init; }

    /// <summary>Reading without load at the calibration, N; not used, since every run has its own zero.</summary>
    public required double ZeroN { get; init; }

    /// <summary>Largest load of the calibration, N: full scale of the terms below. Beyond it the gain is extrapolated.</summary>
    public required double FullScaleN { get; init; }

    /// <summary>Number of steps.</summary>
    public required int Steps { get; init; }

    /// <summary>Standard deviation of the readings about the fit, N of reading.</summary>
    public required double ResidualN { get; init; }

    /// <summary>Largest departure of the readings under rising load from their own best straight line, % of full scale.</summary>
    public required double LinearityPct { get; init; }

    /// <summary>Largest difference of readings at one load, unloading less loading in size, % of full scale; null without an unloading branch.</summary>
    public required double? HysteresisPct { get; init; }

    /// <summary>Largest difference between readings at one load reached by rising load twice or more, % of full scale; null with one series.</summary>
    public required double? RepeatabilityPct { get; init; }

    /// <summary>Reading at the end less reading at the start, both at the same smallest load, % of full scale; null when the record does not end where it began.</summary>
    public required double? ZeroReturnPct { get; init; }

    /// <summary>Lower limit factor of ASTM E74 (from memory): 2.4 times the standard deviation about the fit, as load, N.</summary>
    public required double LowerLimitFactorN { get; init; }

    /// <summary>What the data did not determine, as one sentence; null when nothing is left out.</summary>
    public required string? Note { get; init; }
}
