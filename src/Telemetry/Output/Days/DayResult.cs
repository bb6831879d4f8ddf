using System.Collections.Immutable;
using Telemetry.Car;

namespace Telemetry.Output.Days;

/// <summary>A day's runs in order, what changed between them, and how the answers moved.</summary>
/// <param name="Runs">Every log, in order of start.</param>
/// <param name="Changes">What differs between the car files of two runs that follow each other.</param>
/// <param name="SpeedKmh">Air speed of the aero trends: a reference speed that the curves of most runs cover; null without any.</param>
/// <param name="Trends">One for each quantity that any run has.</param>
public sealed record DayResult(ImmutableArray<DayRun> Runs, ImmutableArray<DayChange> Changes, double? SpeedKmh, ImmutableArray<DayTrend> Trends)
{
    /// <summary>Density that aero loads are brought to, kg/m3, so that the weather of the day is not taken for a change of the car.</summary>
    public const double DensityKgM3 = Comparison.ComparisonResult.DensityKgM3;

    /// <summary>Puts a day together.</summary>
    /// <param name="runs">The logs of the day, in any order.</param>
    /// <param name="carTexts">Texts of the car files by their SHA-256; a run whose text is missing has no changes.</param>
    public static DayResult From(IEnumerable<DayRun> runs, IReadOnlyDictionary<string, string> carTexts)
    {
        ArgumentNullException.ThrowIfNull(runs);
        ArgumentNullException.ThrowIfNull(carTexts);
        ImmutableArray<DayRun> ordered = DayOrder.Of(runs);
        double? speed = DayTrends.CommonSpeed(ordered);
        return new(ordered, ChangesOf(ordered, carTexts), speed, DayTrends.From(ordered, speed));
    }

    private static ImmutableArray<DayChange> ChangesOf(ImmutableArray<DayRun> runs, IReadOnlyDictionary<string, string> carTexts)
    {
        ImmutableArray<DayChange>.Builder changes = ImmutableArray.CreateBuilder<DayChange>();
        int before = -1;
        for (int i = 0; i < runs.Length; i++)
        {
            if (!carTexts.TryGetValue(runs[i].CarSha256, out string? text))
            {
                continue;
            }

            if (before >= 0 && runs[before].CarSha256 != runs[i].CarSha256)
            {
                changes.Add(new(before + 1, i + 1, [.. CarTextChanges.Between(carTexts[runs[before].CarSha256], text)]));
            }

            before = i;
        }

        return changes.ToImmutable();
    }
}

/// <summary>What differs between the car files of two runs.</summary>
/// <param name="FromRun">Number of the earlier run in the day, from 1.</param>
/// <param name="ToRun">Number of the later one.</param>
/// <param name="Fields">The fields; empty when only comments or layout differ.</param>
public sealed record DayChange(int FromRun, int ToRun, ImmutableArray<CarTextChange> Fields);

/// <summary>How one quantity moved over the day.</summary>
/// <param name="Name">Fixed word: aero_front_load, aero_rear_load, aero_balance, peak_load, kerb_strikes, life_used.</param>
/// <param name="Title">What is shown, for a reader.</param>
/// <param name="Unit">Unit of the values.</param>
/// <param name="Series">One or several lines.</param>
public sealed record DayTrend(string Name, string Title, string Unit, ImmutableArray<DaySeries> Series);

/// <summary>One line of a trend.</summary>
/// <param name="Name">What it is: front, rear, total, a part.</param>
/// <param name="Points">In order of the runs; runs without an answer are left out.</param>
public sealed record DaySeries(string Name, ImmutableArray<DayPoint> Points);

/// <summary>The value of one run.</summary>
/// <param name="Run">Number of the run in the day, from 1.</param>
/// <param name="Value">The value.</param>
/// <param name="Low95">Lower end of its 95 % interval; null when it has none.</param>
/// <param name="High95">Upper end.</param>
public sealed record DayPoint(int Run, double Value, double? Low95, double? High95);
