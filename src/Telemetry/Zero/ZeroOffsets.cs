using System.Collections.Immutable;
using Telemetry.Car;
using Telemetry.Health;
using Telemetry.Runs;

namespace Telemetry.Zero;

/// <summary>Applies the calibration of every load cell, finds its zero and takes it off (equation E7).</summary>
public static class ZeroOffsets
{
    /// <summary>Zeros from all standstills, and the loads without them.</summary>
    /// <param name="run">The run.</param>
    /// <param name="options">How zeros are found, and the zeros of other runs.</param>
    /// <returns>Loads with calibration applied and offset taken off, interpolated between the windows in time, or with cell temperature where it changed enough.
    /// A cell without a usable window borrows from the zero file. Without that the loads are as logged and <see cref="ZeroedLoads.WithheldBecause"/> says why.</returns>
    /// <exception cref="InputError">The static loads of two corners or more are far from those of the car file: the log is of another car.</exception>
    public static ZeroedLoads From(Run run, ZeroOptions options)
    {
        ArgumentNullException.ThrowIfNull(run);
        ArgumentNullException.ThrowIfNull(options);
        DateTimeOffset? takenAt = options.TakenAtUtc ?? run.StartedAtUtc;
        CalibrationSet calibrations = CellCalibrations.Of(run.Car, takenAt is { } at ? DateOnly.FromDateTime(at.UtcDateTime) : null);
        PerCorner<SampleSource> readings = CalibratedReadings.Of(run, calibrations);
        int blockLength = Math.Max(1, (int)Math.Round(options.BlockS / run.Clock.StepS));
        ImmutableArray<StandstillWindow> marked = StandstillKinds.Mark(run, Standstill.Find(run, options), blockLength, options);
        var (windows, moving) = StandstillKinds.LeaveOutMoving(run, marked, blockLength, options);
        PerCorner<double> travelZero = DamperZeros.Find(run, windows, blockLength, takenAt, options);
        PerCorner<SampleSource?> travel = DamperZeros.Travel(run, travelZero);
        List<HealthFinding> findings = [.. calibrations.Findings, .. moving];

        PerCorner<CornerZero> own = PerCorner.AtOnce(corner => windows.IsEmpty
            ? ZeroFinder.None
            : ZeroFinder.Find(run, corner, readings[corner], windows, travel[corner], blockLength, options));
        double Gain(Corner corner) => calibrations.Cells[corner]?.Gain ?? 1;
        PerCorner<CornerZero> zeros = own.Select((corner, zero) => zero.Source == ZeroSource.None
            ? BorrowedZeros.Of(run, corner, Gain(corner), takenAt, options) ?? zero
            : zero);
        string? withheld = WhyWithheld(run, windows, zeros);
        if (!windows.IsEmpty)
        {
            CompareStaticLoads(findings, run, windows, own, options);
            foreach ((Corner corner, CornerZero zero) in own.Each().Where(zero => zero.Value.Source != ZeroSource.None))
            {
                ZeroFindings.AddDrift(findings, run, corner, zero, windows, options);
                ZeroFindings.AddShift(findings, run, corner, zero, Gain(corner), takenAt, options);
            }

            if (windows.Length == 1)
            {
                findings.Add(ZeroFindings.Once(windows[0]));
            }
        }

        if (zeros.Each().Any(zero => zero.Value.Source == ZeroSource.Borrowed))
        {
            findings.Add(BorrowedZeros.Finding(zeros));
        }

        if (withheld is not null)
        {
            findings.Add(ZeroFindings.Missing(withheld, options));
        }

        PerCorner<SampleSource> loads = Subtract(run, readings, zeros, windows);
        foreach ((Corner corner, CellCalibration? cell) in calibrations.Cells.Each())
        {
            if (cell is not null && withheld is null)
            {
                CalibrationFindings.AddBeyond(findings, run.Car, cell, Largest(loads[corner]));
            }
        }

        return new ZeroedLoads
        {
            Run = run,
            PushrodLoadN = loads,
            DamperTravelM = travel,
            TravelZeroM = travelZero,
            Zeros = zeros,
            Windows = windows,
            WithheldBecause = withheld,
            Findings = [.. findings],
            IsLowPassed = Corners.All.Any(corner => run.Find(ChannelRoles.PushrodLoad(corner))?.IsLowPassed ?? false),
            Calibrations = calibrations.Cells,
            Steps = PerCorner.Of(corner => Steps(run, corner, calibrations, zeros[corner])),
            TakenAtUtc = takenAt,
        };
    }

    private static string? WhyWithheld(Run run, ImmutableArray<StandstillWindow> windows, PerCorner<CornerZero> zeros)
    {
        string? without = string.Join(", ", zeros.Each().Where(zero => zero.Value.Source == ZeroSource.None).Select(zero => zero.Corner.Code()));
        return without.Length == 0 ? null
            : !run.Has(ChannelRole.Speed) ? "The log has no speed, so standstill cannot be told from motion and the load cells cannot be zeroed."
            : windows.IsEmpty ? "The car never stands still for long enough in this log, so the load cells cannot be zeroed."
            : $"The load cell {without} gives no reading at standstill, so it has no zero.";
    }

    /// <summary>Two corners far from the setup sheet are another car and refused; one that is off by most of its load is a finding, since its cell may count the other way or in another unit.</summary>
    private static void CompareStaticLoads(List<HealthFinding> findings, Run run, ImmutableArray<StandstillWindow> windows, PerCorner<CornerZero> zeros, ZeroOptions options)
    {
        if (windows[0].OnStands)
        {
            return;
        }

        double fuelKg = FuelOnBoard.At(run, windows[0].StartIndex);
        List<string> far = [];
        foreach ((Corner corner, CornerZero zero) in zeros.Each())
        {
            ChannelMapping mapping = run.Car.Mapping(ChannelRoles.PushrodLoad(corner))!;
            double expected = StaticLoad.OnGround(run.Car, corner, fuelKg, options).LoadN;
            double sound = mapping.Range is (double low, double high) ? options.ZeroLimitShareOfRated * Math.Max(Math.Abs(low), Math.Abs(high)) : 0;
            string seen = FormattableString.Invariant($"{corner.Code()} reads {expected + zero.StartN:0} N where {expected:0} N is expected");
            if (Math.Abs(zero.StartN) > Math.Max(sound, options.ForeignCarShare * Math.Abs(expected)))
            {
                far.Add(seen);
            }

            if (Math.Abs(zero.StartN) > Math.Max(sound, options.LostZeroShare * Math.Abs(expected)))
            {
                findings.Add(new HealthFinding(
                    mapping.Name,
                    "static_load_lost",
                    HealthVerdict.Unusable,
                    windows[0].StartS,
                    windows[0].EndS,
                    $"At standstill {seen}; the other corners agree with the setup sheet.",
                    "If the cell counts the other way, or in another unit, every load of this corner is wrong; if its zero is really that far out, the cell has yielded.",
                    "Check the channel's sign and unit under [channels] and the cell's cable; zero or change the cell before the next run.")
                {
                    Role = mapping.Role,
                });
            }
        }

        if (far.Count >= 2)
        {
            throw new InputError(
                run.Name,
                $"at standstill {string.Join(", ", far)}: the static loads do not match the car file.",
                "Check that the car file belongs to this car, that its corner weights are of this setup, and the units and signs under [channels]; if the cells' zeros really are that far out, zero them before the car goes out.");
        }
    }

    private static ImmutableArray<ProcessingStep> Steps(Run run, Corner corner, CalibrationSet calibrations, CornerZero zero)
    {
        ImmutableArray<ProcessingStep> steps = run.Find(ChannelRoles.PushrodLoad(corner))?.Steps ?? [];
        if (CalibratedReadings.StepOf(calibrations, corner) is { } calibrated)
        {
            steps = steps.Add(calibrated);
        }

        return zero.Source == ZeroSource.None ? steps : steps.Add(new ZeroRemoved(zero.StartN, zero.EndN));
    }

    /// <summary>Largest load in either direction; 0 where there is none.</summary>
    private static double Largest(SampleSource load)
    {
        (double low, double high) = Extremes.Of(load, 0, load.Length);
        return Math.Max(0, Math.Max(-low, high));
    }

    private static PerCorner<SampleSource> Subtract(
        Run run, PerCorner<SampleSource> readings, PerCorner<CornerZero> zeros, ImmutableArray<StandstillWindow> windows) =>
        readings.Select((corner, reading) => zeros[corner] is var zero && zero.AtWindowsN.Count(double.IsFinite) < 2
            ? reading.Scaled(1, -zero.StartN)
            : ZeroPath.Subtract(run, corner, zero, windows, reading));
}
