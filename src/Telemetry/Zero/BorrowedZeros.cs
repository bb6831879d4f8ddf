using System.Collections.Immutable;
using Telemetry.Car;
using Telemetry.Health;
using Telemetry.Runs;

namespace Telemetry.Zero;

/// <summary>Takes the zero of a cell from another run, when its own run shows none.</summary>
internal static class BorrowedZeros
{
    /// <summary>The zero of a cell from the run nearest in time (the last added where dates are missing); null when the file knows none of this cell.</summary>
    public static CornerZero? Of(Run run, Corner corner, double gain, DateTimeOffset? takenAt, ZeroOptions options)
    {
        if (Nearest(run.Car, corner, takenAt, options) is not var (from, zero, known))
        {
            return null;
        }

        double? ageH = takenAt is { } now && from.TakenAtUtc is { } then ? (now - then).TotalHours : null;
        bool isLater = ageH < 0;

        // Readings are N / gain of what the cell gave: under another calibration the same reading is another load.
        double factor = zero.Gain / gain;
        double offset = factor * (isLater ? zero.StartN : zero.EndN);
        double range = BetweenRuns.RangeN(run.Car, corner, options);
        double hours = Math.Min(options.LongestAgeH, Math.Abs(ageH ?? options.UnknownAgeH));
        ZeroBudget budget = new()
        {
            ExpectedN = factor * Math.Sqrt(Math.Max(0, (zero.StandardUncertaintyN * zero.StandardUncertaintyN) - (zero.OwnUncertaintyN * zero.OwnUncertaintyN))),
            RepeatN = factor * zero.OwnUncertaintyN,
            DriftN = ZeroFinder.UnknownDriftN(run.Car, corner, options),
            BetweenRunsN = BetweenRuns.Of(run.Car, corner, options).StandardUncertaintyN,
            AgeN = options.DriftPerHourShareOfRange * range * hours,
        };
        return new CornerZero(ZeroSource.Borrowed, offset, offset, null, budget.TotalN, false)
        {
            Budget = budget,
            TemperatureK = zero.TemperatureK ?? double.NaN,
            Borrowed = new BorrowedZero(from.Run, ageH, known),
        };
    }

    /// <summary>Static reading of a damper potentiometer from the run that the zero is taken from, m; NaN when it is not known.</summary>
    public static double TravelZeroM(Run run, Corner corner, DateTimeOffset? takenAt, ZeroOptions options) =>
        Nearest(run.Car, corner, takenAt, options) is var (_, zero, _) ? zero.TravelZeroM ?? double.NaN : double.NaN;

    /// <summary>What a person is told.</summary>
    public static HealthFinding Finding(PerCorner<CornerZero> zeros)
    {
        (Corner Corner, CornerZero Value)[] borrowed = [.. zeros.Each().Where(zero => zero.Value.Source == ZeroSource.Borrowed)];
        (Corner corner, CornerZero worst) = borrowed.MaxBy(zero => zero.Value.StandardUncertaintyN);
        BorrowedZero from = worst.Borrowed!;
        string age = from.AgeH switch
        {
            null => "of unknown age, since one of the two has no date",
            double h when Math.Abs(h) < 48 => FormattableString.Invariant($"{Math.Abs(h):0.#} h {(h >= 0 ? "before" : "after")} this run"),
            double h => FormattableString.Invariant($"{Math.Abs(h) / 24:0} days {(h >= 0 ? "before" : "after")} this run"),
        };
        string cells = string.Join(", ", borrowed.Select(zero => zero.Corner.Code()));
        string others = from.RunsKnown == 1 ? "the only run that the zero file knows of it" : FormattableString.Invariant($"one of {from.RunsKnown} runs that the zero file knows");
        return new HealthFinding(
            "log",
            "zero_borrowed",
            HealthVerdict.Doubtful,
            double.NaN,
            double.NaN,
            FormattableString.Invariant($"The zero of {cells} is taken from run '{from.Run}', {age}: {others}. At {corner.Code()} it may be wrong by {1.96 * worst.StandardUncertaintyN:0} N (95 %)."),
            "Wheel loads, aero load, peaks and margins carry that doubt in their intervals; damage does only where a part's mean-stress rule asks for the mean.",
            "Log at least 5 s of standstill on the ground. If a cell, a pushrod or the setup was changed since, do not use these numbers.");
    }

    private static (ZeroRun From, CellZero Zero, int Known)? Nearest(CarDefinition car, Corner corner, DateTimeOffset? takenAt, ZeroOptions options)
    {
        ImmutableArray<(ZeroRun Run, CellZero Zero)> known = options.History.Of(CellZero.KeyOf(car, corner), options.LogHash);
        if (known.IsEmpty)
        {
            return null;
        }

        (ZeroRun Run, CellZero Zero) best = known[^1];
        if (takenAt is { } now && known.All(entry => entry.Run.TakenAtUtc is not null))
        {
            foreach ((ZeroRun Run, CellZero Zero) entry in known)
            {
                if ((now - entry.Run.TakenAtUtc!.Value).Duration() < (now - best.Run.TakenAtUtc!.Value).Duration())
                {
                    best = entry;
                }
            }
        }

        return (best.Run, best.Zero, known.Length);
    }
}
