using System.Collections.Immutable;
using Telemetry.Car;

namespace Telemetry.Zero;

/// <summary>Zeros of load cells over several runs: what the zero file holds.</summary>
/// <param name="Runs">Runs in the order in which they were added; log hashes are unique.</param>
public sealed record ZeroHistory(ImmutableArray<ZeroRun> Runs)
{
    /// <summary>No run.</summary>
    public static ZeroHistory Empty { get; } = new(ImmutableArray<ZeroRun>.Empty);

    /// <summary>The history with one more run.</summary>
    /// <param name="run">The run.</param>
    /// <returns>With the run in place of an earlier entry of the same log, so that looking at a log again leaves one entry.</returns>
    public ZeroHistory With(ZeroRun run)
    {
        ArgumentNullException.ThrowIfNull(run);
        for (int i = 0; i < Runs.Length; i++)
        {
            if (Runs[i].LogHash == run.LogHash)
            {
                return new(Runs.SetItem(i, run));
            }
        }

        return new(Runs.Add(run));
    }

    /// <summary>Readings of one cell, in time order where all of them have a date, else in the order in which they were added.</summary>
    /// <param name="cell">Which cell: see <see cref="CellZero.KeyOf"/>.</param>
    /// <param name="exceptLog">Hash of a log to leave out, or null.</param>
    public ImmutableArray<(ZeroRun Run, CellZero Zero)> Of(string cell, string? exceptLog = null)
    {
        List<(ZeroRun Run, CellZero Zero)> found = [];
        foreach (ZeroRun run in Runs)
        {
            if (run.LogHash != exceptLog && run.Cells.FirstOrDefault(zero => zero.Cell == cell) is { } zero)
            {
                found.Add((run, zero));
            }
        }

        return found.TrueForAll(entry => entry.Run.TakenAtUtc is not null)
            ? [.. found.OrderBy(entry => entry.Run.TakenAtUtc)]
            : [.. found];
    }
}

/// <summary>The zeros that one run gave.</summary>
/// <param name="Run">Name of the run.</param>
/// <param name="LogHash">Hash of the log's content as the caller formed it; the run's identity.</param>
/// <param name="Car">Name of the car.</param>
/// <param name="TakenAtUtc">Date and time, from the log or as a person gave it; null when nobody knows.</param>
/// <param name="Cells">One entry a cell that had a zero of its own.</param>
public sealed record ZeroRun(string Run, string LogHash, string Car, DateTimeOffset? TakenAtUtc, ImmutableArray<CellZero> Cells)
{
    /// <summary>The entry of a run that was just looked at.</summary>
    /// <param name="loads">Its zeros.</param>
    /// <param name="logHash">Hash of the log's content.</param>
    /// <returns>Null when no cell has a zero of its own: a borrowed zero is never handed on.</returns>
    public static ZeroRun? Of(ZeroedLoads loads, string logHash)
    {
        ArgumentNullException.ThrowIfNull(loads);
        ArgumentException.ThrowIfNullOrEmpty(logHash);
        ImmutableArray<CellZero> cells = [.. loads.Zeros.Each()
            .Where(zero => zero.Value.Source is not (ZeroSource.None or ZeroSource.Borrowed) && double.IsFinite(zero.Value.StartN) && double.IsFinite(zero.Value.StandardUncertaintyN))
            .Select(zero => new CellZero(
                CellZero.KeyOf(loads.Run.Car, zero.Corner),
                zero.Corner.Code(),
                zero.Value.Source,
                zero.Value.StartN,
                zero.Value.EndN,
                zero.Value.StandardUncertaintyN,
                zero.Value.Budget.OwnN,
                loads.Calibrations[zero.Corner]?.Gain ?? 1,
                double.IsFinite(zero.Value.TemperatureK) ? zero.Value.TemperatureK : null,
                double.IsFinite(loads.TravelZeroM[zero.Corner]) ? loads.TravelZeroM[zero.Corner] : null))];
        return cells.IsEmpty ? null : new(loads.Run.Name, logHash, loads.Run.Car.Name, loads.TakenAtUtc, cells);
    }
}

/// <summary>The zero of one cell in one run.</summary>
/// <param name="Cell">Which cell: see <see cref="KeyOf"/>.</param>
/// <param name="Corner">Where it was fitted: FL, FR, RL or RR.</param>
/// <param name="Source">Where the zero came from.</param>
/// <param name="StartN">Zero at the first standstill, N.</param>
/// <param name="EndN">Zero at the last, N.</param>
/// <param name="StandardUncertaintyN">Its standard uncertainty, N.</param>
/// <param name="OwnUncertaintyN">The part of it that another stop would draw anew (friction, repeat, resolution), N.</param>
/// <param name="Gain">Gain of the calibration by which readings became loads; 1 without one.</param>
/// <param name="TemperatureK">Cell temperature at the standstill, K; null when not logged.</param>
/// <param name="TravelZeroM">Reading of the corner's damper potentiometer at the static position, m; null when not known.</param>
public sealed record CellZero(
    string Cell,
    string Corner,
    ZeroSource Source,
    double StartN,
    double EndN,
    double StandardUncertaintyN,
    double OwnUncertaintyN,
    double Gain,
    double? TemperatureK,
    double? TravelZeroM)
{
    /// <summary>What a cell is known by: its serial number where the car file gives one, else car and channel.</summary>
    public static string KeyOf(CarDefinition car, Corner corner)
    {
        ArgumentNullException.ThrowIfNull(car);
        ChannelMapping? mapping = car.Mapping(ChannelRoles.PushrodLoad(corner));
        return mapping?.Serial is string serial ? $"serial {serial}" : $"{car.Name} / {mapping?.Name ?? corner.Code()}";
    }
}
