using System.Collections.Immutable;

namespace Telemetry.Runs;

/// <summary>What was done to a channel's numbers, in order. Later stages check this list: a low-passed load must never be counted for strikes or cycles.</summary>
public abstract record ProcessingStep;

/// <summary>Values were brought to SI: new = old * Factor + Offset.</summary>
/// <param name="FromUnit">Unit of the log as written.</param>
/// <param name="Factor">Multiplier.</param>
/// <param name="Offset">Added after the multiplier, SI.</param>
public sealed record UnitConverted(string FromUnit, double Factor, double Offset) : ProcessingStep;

/// <summary>The sign was reversed, because the car file says that the logger counts the other way.</summary>
public sealed record SignReversed : ProcessingStep;

/// <summary>The logger or the sensor had low-passed the values before they were recorded.</summary>
/// <param name="CutOffHz">Cut-off that the car file states, Hz.</param>
public sealed record LowPassedInLogger(double CutOffHz) : ProcessingStep;

/// <summary>The values were low-passed here.</summary>
/// <param name="CutOffHz">Half-power frequency of the whole operation, Hz.</param>
/// <param name="Order">Order of one pass.</param>
/// <param name="ZeroPhase">True when filtered forward and backward.</param>
public sealed record LowPassed(double CutOffHz, int Order, bool ZeroPhase) : ProcessingStep;

/// <summary>The values were put on another time base by straight lines between samples; nothing is drawn across a gap.</summary>
/// <param name="FromHz">Rate before, Hz.</param>
/// <param name="ToHz">Rate after, Hz.</param>
public sealed record Resampled(double FromHz, double ToHz) : ProcessingStep;

/// <summary>The channel was not logged but formed from others.</summary>
/// <param name="From">How, in words.</param>
public sealed record Derived(string From) : ProcessingStep;

/// <summary>The readings of the load cells were turned into loads with a calibration: load = sum over the four cells of factor times reading.</summary>
/// <param name="RecordNumber">The record's place in the car file, from 1.</param>
/// <param name="FactorFL">Load per reading of the cell FL.</param>
/// <param name="FactorFR">Load per reading of the cell FR.</param>
/// <param name="FactorRL">Load per reading of the cell RL.</param>
/// <param name="FactorRR">Load per reading of the cell RR.</param>
public sealed record Calibrated(int RecordNumber, double FactorFL, double FactorFR, double FactorRL, double FactorRR) : ProcessingStep;

/// <summary>A zero was taken off.</summary>
/// <param name="AtStart">Zero at the first standstill window, SI.</param>
/// <param name="AtEnd">Zero at the last one, SI; the same as at the start where there is only one.</param>
public sealed record ZeroRemoved(double AtStart, double AtEnd) : ProcessingStep;

/// <summary>Samples were replaced, each stretch by a straight line between the samples before and after it, or left out where one of these is missing.</summary>
/// <param name="Fault">What was wrong with them.</param>
/// <param name="Spans">Which samples of the run's clock, in order and apart.</param>
public sealed record Repaired(RepairedFault Fault, ImmutableArray<SampleSpan> Spans) : ProcessingStep;

/// <summary>What was wrong with samples that were replaced.</summary>
public enum RepairedFault
{
    /// <summary>Samples that jump away and back as no wheel can.</summary>
    Spike,

    /// <summary>Samples that the log does not have.</summary>
    Gap,
}
