using System.Collections.Immutable;
using System.Globalization;
using System.Text;
using Telemetry.Car;
using Telemetry.Review;

namespace Telemetry.Ledger;

/// <summary>The readings of earlier runs that a new run may be held against.</summary>
/// <remarks>
/// A reading of a corner is kept only from runs of the same car that had the same springs, bars, third elements and ratios on that axle and the same parts at that
/// corner: after a change of setup or of a part a new history begins, so that the change is not taken for a joint that yields. Readings of a part follow its
/// serial number, whatever car it was on.
/// </remarks>
public static class EarlierReadings
{
    /// <summary>Readings of the runs before a log.</summary>
    /// <param name="entries">Entries of the ledger.</param>
    /// <param name="carTexts">Texts of the car files that the ledger keeps, by their hash.</param>
    /// <param name="car">The car of the new run.</param>
    /// <param name="logHash">Hash of the new log.</param>
    /// <param name="startedAtUtc">Its start; null when not known, which is behind all runs unless the log is in the ledger.</param>
    public static PartHistory Before(IEnumerable<LedgerEntry> entries, IReadOnlyDictionary<string, string> carTexts, CarDefinition car, string logHash, DateTimeOffset? startedAtUtc)
    {
        ArgumentNullException.ThrowIfNull(entries);
        ArgumentNullException.ThrowIfNull(carTexts);
        ArgumentNullException.ThrowIfNull(car);
        ArgumentException.ThrowIfNullOrEmpty(logHash);
        ImmutableArray<LedgerEntry> all = [.. entries];
        ImmutableArray<RunPlace> runs = RunOrder.Of(all, LedgerState.StruckOutBy(all));
        Dictionary<string, string[]> keys = new(StringComparer.Ordinal);
        string[] now = KeysOf(car);
        HashSet<string> parts = [.. car.Components.Select(part => part.Id)];
        List<HistoricReading> kept = [];
        foreach (RunFigures run in runs.Take(RunOrder.CountBefore(runs, logHash, startedAtUtc)).Select(place => place.Entry.Run!).Where(run => !run.Readings.IsEmpty))
        {
            string[] then = KeysOf(run, carTexts, keys);
            foreach (RunReading reading in run.Readings)
            {
                Corner? corner = Corners.FromCode(reading.Subject);
                if (corner is { } c ? run.Car == car.Name && then.Length > 0 && then[(int)c] == now[(int)c] : parts.Contains(reading.Subject))
                {
                    kept.Add(new(run.Run, reading));
                }
            }
        }

        return new() { Readings = [.. kept] };
    }

    private static string[] KeysOf(RunFigures run, IReadOnlyDictionary<string, string> carTexts, Dictionary<string, string[]> known)
    {
        if (run.CarHash is not { } hash || !carTexts.TryGetValue(hash, out string? text))
        {
            return [];
        }

        if (!known.TryGetValue(hash, out string[]? made))
        {
            try
            {
                made = KeysOf(CarFile.Parse(text, "the car file that the ledger keeps"));
            }
            catch (Exception error) when (error is InputError or ArgumentException)
            {
                // A later program may read car files more strictly: that run is then no history.
                made = [];
            }

            known.Add(hash, made);
        }

        return made;
    }

    /// <summary>What the slope of load over travel at a corner hangs on, as text: equal texts, equal setup.</summary>
    private static string[] KeysOf(CarDefinition car) => [.. Corners.All.Select(corner =>
    {
        AxleSuspension axle = car.Suspension[corner.Axle()];
        StringBuilder key = new();
        Append(axle.SpringRateNpm, axle.AntiRollBarRateNpm);
        Curve(axle.InstallationRatio);
        Curve(axle.DamperRatio);
        if (axle.Third is { } third)
        {
            Append(third.SpringRateNpm, third.SpringGapM, third.RubberGapM);
            foreach (ForcePoint point in third.Rubber)
            {
                Append(point.CompressionM, point.ForceN);
            }
        }

        key.AppendJoin('|', car.Components.Where(part => part.Corner == corner).Select(part => part.Id).Order(StringComparer.Ordinal));
        return key.ToString();

        void Curve(RatioCurve curve)
        {
            foreach (RatioPoint point in curve.Points)
            {
                Append(point.DamperTravelM, point.Ratio);
            }
        }

        void Append(params double?[] values)
        {
            foreach (double? value in values)
            {
                key.Append(value?.ToString("R", CultureInfo.InvariantCulture) ?? "-").Append(';');
            }
        }
    })];
}
