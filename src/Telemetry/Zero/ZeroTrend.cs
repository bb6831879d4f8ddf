using System.Collections.Immutable;
using Telemetry.Car;

namespace Telemetry.Zero;

/// <summary>What a cell's zeros did over its runs.</summary>
public enum ZeroTrendKind
{
    /// <summary>Too few runs to say.</summary>
    TooFew,

    /// <summary>Neither slope nor step that chance would not make.</summary>
    Steady,

    /// <summary>They move in one direction.</summary>
    Slope,

    /// <summary>They jumped between two runs.</summary>
    Step,
}

/// <summary>The zeros of one cell over the runs of a zero file.</summary>
public sealed record ZeroTrend
{
    /// <summary>Fewest runs that a slope or a step is looked for in.</summary>
    public const int FewestRuns = 4;

    /// <summary>Chance below which a slope or a step is believed. 5 % would call every twentieth steady cell; 1 % with the correction below is one sheet of four cells in 25.</summary>
    public const double Significance = 0.01;

    /// <summary>The cell: serial number, or car and channel.</summary>
    public required string Cell { get; init; }

    /// <summary>Where it was fitted in the last run.</summary>
    public required string Corner { get; init; }

    /// <summary>Runs with this cell, oldest first.</summary>
    public required ImmutableArray<(ZeroRun Run, CellZero Zero)> Runs { get; init; }

    /// <summary>What they did.</summary>
    public required ZeroTrendKind Kind { get; init; }

    /// <summary>Slope, N an hour where all runs have dates, else N a run; NaN with too few runs.</summary>
    public required double Slope { get; init; }

    /// <summary>True when the slope is per hour.</summary>
    public required bool SlopeIsPerHour { get; init; }

    /// <summary>Chance of such a slope in a steady cell; NaN with too few runs.</summary>
    public required double SlopeChance { get; init; }

    /// <summary>Largest step: mean after less mean before, N; NaN with too few runs.</summary>
    public required double StepN { get; init; }

    /// <summary>The run after which it stepped (index in <see cref="Runs"/>); -1 with too few runs.</summary>
    public required int StepAfter { get; init; }

    /// <summary>Chance of such a step anywhere in a steady cell (the best of n - 1 places, times n - 1: Bonferroni); NaN with too few runs.</summary>
    public required double StepChance { get; init; }

    /// <summary>Trends of all cells of a history, in the order in which the cells first occur.</summary>
    public static ImmutableArray<ZeroTrend> Of(ZeroHistory history)
    {
        ArgumentNullException.ThrowIfNull(history);
        return [.. history.Runs.SelectMany(run => run.Cells).Select(zero => zero.Cell).Distinct(StringComparer.Ordinal).Select(cell => OfCell(cell, history.Of(cell)))];
    }

    /// <summary>Trends of the four cells of a car, FL FR RL RR; those without a run are left out.</summary>
    public static ImmutableArray<ZeroTrend> Of(ZeroHistory history, CarDefinition car)
    {
        ArgumentNullException.ThrowIfNull(history);
        ArgumentNullException.ThrowIfNull(car);
        return [.. Corners.All.Select(corner => CellZero.KeyOf(car, corner)).Where(cell => !history.Of(cell).IsEmpty).Select(cell => OfCell(cell, history.Of(cell)))];
    }

    private static ZeroTrend OfCell(string cell, ImmutableArray<(ZeroRun Run, CellZero Zero)> runs)
    {
        double[] zeros = [.. runs.Select(entry => (entry.Zero.StartN + entry.Zero.EndN) / 2 / entry.Zero.Gain)];
        bool perHour = runs.All(entry => entry.Run.TakenAtUtc is not null) && runs[^1].Run.TakenAtUtc > runs[0].Run.TakenAtUtc;
        double[] at = [.. runs.Select((entry, i) => perHour ? (entry.Run.TakenAtUtc!.Value - runs[0].Run.TakenAtUtc!.Value).TotalHours : i)];
        double slope = double.NaN;
        double slopeChance = double.NaN;
        double step = double.NaN;
        double stepChance = double.NaN;
        int stepAfter = -1;
        if (zeros.Length >= FewestRuns)
        {
            (slope, slopeChance) = SlopeOf(at, zeros);
            (step, stepAfter, stepChance) = StepOf(zeros);
        }

        ZeroTrendKind kind = zeros.Length < FewestRuns ? ZeroTrendKind.TooFew
            : !(Math.Min(slopeChance, stepChance) < Significance) ? ZeroTrendKind.Steady
            : stepChance < slopeChance ? ZeroTrendKind.Step
            : ZeroTrendKind.Slope;
        return new ZeroTrend
        {
            Cell = cell,
            Corner = runs[^1].Zero.Corner,
            Runs = runs,
            Kind = kind,
            Slope = slope,
            SlopeIsPerHour = perHour,
            SlopeChance = slopeChance,
            StepN = step,
            StepAfter = stepAfter,
            StepChance = stepChance,
        };
    }

    private static (double Slope, double Chance) SlopeOf(double[] at, double[] zeros)
    {
        LinearFit? line = LinearFit.Of([[.. at.Select(_ => 1.0)], at], zeros);
        return line is null ? (double.NaN, double.NaN)
            : (line.Coefficients[1], ChanceOf(line.Coefficients[1], line.StandardError(1), line.DegreesOfFreedom));
    }

    private static (double StepN, int After, double Chance) StepOf(double[] zeros)
    {
        double best = double.NaN;
        int after = -1;
        double chance = double.PositiveInfinity;
        for (int k = 1; k < zeros.Length; k++)
        {
            double before = zeros[..k].Average();
            double behind = zeros[k..].Average();
            double squares = zeros[..k].Sum(z => (z - before) * (z - before)) + zeros[k..].Sum(z => (z - behind) * (z - behind));
            int degrees = zeros.Length - 2;
            double error = Math.Sqrt(squares / degrees * ((1.0 / k) + (1.0 / (zeros.Length - k))));
            double here = ChanceOf(behind - before, error, degrees);
            if (here < chance)
            {
                (best, after, chance) = (behind - before, k - 1, here);
            }
        }

        return after < 0 ? (0, -1, 1) : (best, after, Math.Min(1, chance * (zeros.Length - 1)));
    }

    /// <summary>Zeros that all lie on the line leave no scatter: no change is then no trend, and any other is one.</summary>
    private static double ChanceOf(double change, double error, int degrees) =>
        change == 0 ? 1 : error > 0 ? Widening.Chance(change / error, degrees) : 0;
}
