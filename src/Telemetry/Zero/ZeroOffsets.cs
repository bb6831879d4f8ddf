using System.Collections.Immutable;
using System.Runtime.InteropServices;
using Telemetry.Car;
using Telemetry.Health;
using Telemetry.Runs;

namespace Telemetry.Zero;

/// <summary>Finds the zero of every load cell and takes it off (equation E7).</summary>
public static class ZeroOffsets
{
    /// <summary>Zeros from the first and the last standstill, and the loads without them.</summary>
    /// <param name="run">The run.</param>
    /// <param name="options">How zeros are found.</param>
    /// <returns>Loads with the offset taken off, interpolated between the windows in time, or with cell temperature where it changed enough.
    /// Without a usable window the loads are as logged and <see cref="ZeroedLoads.WithheldBecause"/> says why.</returns>
    /// <exception cref="InputError">The static loads of two corners or more are far from those of the car file: the log is of another car.</exception>
    public static ZeroedLoads From(Run run, ZeroOptions options)
    {
        ArgumentNullException.ThrowIfNull(run);
        ArgumentNullException.ThrowIfNull(options);
        ImmutableArray<StandstillWindow> windows = Standstill.Find(run, options);
        int blockLength = Math.Max(1, (int)Math.Round(options.BlockS / run.Clock.StepS));
        var (travel, markedWindows) = DamperTravel(run, windows, blockLength, options);
        List<HealthFinding> findings = [];
        string? withheld = WhyNoWindow(run, markedWindows);
        PerCorner<CornerZero> zeros = withheld is null
            ? PerCorner.Of(corner => ZeroFinder.Find(run, corner, markedWindows, travel[corner], blockLength, options))
            : PerCorner.Of(_ => new CornerZero(ZeroSource.None, 0, 0, null, double.NaN, false));
        if (withheld is null)
        {
            CompareStaticLoads(findings, run, markedWindows, zeros, options);
            foreach ((Corner corner, CornerZero zero) in zeros.Each())
            {
                if (double.IsNaN(zero.StartN))
                {
                    withheld ??= $"The load cell {corner.Code()} gives no reading at standstill, so it has no zero.";
                }

                AddDrift(findings, run, corner, zero, markedWindows, options);
            }

            if (markedWindows.Length == 1)
            {
                findings.Add(new HealthFinding(
                    "log",
                    "zero_once",
                    HealthVerdict.Good,
                    markedWindows[0].StartS,
                    markedWindows[0].EndS,
                    "The car stands still only once in this log, so the drift of the zeros cannot be seen.",
                    "The interval of every absolute load is widened by an assumed drift.",
                    "Log at least 5 s of standstill before and after the run."));
            }
        }

        if (withheld is not null)
        {
            findings.Add(new HealthFinding(
                "log",
                "zero_missing",
                HealthVerdict.Unusable,
                double.NaN,
                double.NaN,
                withheld,
                "Aero load, wheel loads, peaks and margins are withheld.",
                "Log at least 5 s of standstill on the ground, with the setup sheet's corner weights in the car file."));
        }

        return new ZeroedLoads
        {
            Run = run,
            PushrodLoadN = Subtract(run, zeros, markedWindows),
            DamperTravelM = travel,
            Zeros = zeros,
            Windows = markedWindows,
            WithheldBecause = withheld,
            Findings = [.. findings],
            IsLowPassed = Corners.All.Any(corner => run.Find(ChannelRoles.PushrodLoad(corner))?.IsLowPassed ?? false),
        };
    }

    private static string? WhyNoWindow(Run run, ImmutableArray<StandstillWindow> windows) =>
        !run.Has(ChannelRole.Speed) ? "The log has no speed, so standstill cannot be told from motion and the load cells cannot be zeroed."
        : windows.IsEmpty ? "The car never stands still for long enough in this log, so the load cells cannot be zeroed."
        : null;

    /// <summary>Damper travel from static, and the windows marked that were on stands.</summary>
    private static (PerCorner<ImmutableArray<double>> Travel, ImmutableArray<StandstillWindow> Windows) DamperTravel(
        Run run,
        ImmutableArray<StandstillWindow> windows,
        int blockLength,
        ZeroOptions options)
    {
        double[,] middles = new double[windows.Length, 4];
        for (int w = 0; w < windows.Length; w++)
        {
            foreach (Corner corner in Corners.All)
            {
                ReadOnlySpan<double> damper = run.OnClock(ChannelRoles.DamperTravel(corner));
                middles[w, (int)corner] = damper.IsEmpty
                    ? double.NaN
                    : BlockMedian.Of(damper[windows[w].StartIndex..windows[w].EndIndex], blockLength).Middle;
            }
        }

        // The most compressed standstill is on the ground; one in which all four dampers hang well below it was on stands.
        bool fromStatic = Corners.All.All(corner => run.Car.Mapping(ChannelRoles.DamperTravel(corner))?.IsFromStatic ?? false);
        ImmutableArray<StandstillWindow> marked = [.. windows.Select((window, w) => window with
        {
            OnStands = Corners.All.All(corner => middles[w, (int)corner] < Ground(corner) - options.StandsDroopM),
        })];
        int ground = marked.IsEmpty ? -1 : Enumerable.Range(0, marked.Length).FirstOrDefault(w => !marked[w].OnStands, -1);
        PerCorner<ImmutableArray<double>> travel = PerCorner.Of(corner =>
        {
            ChannelRole role = ChannelRoles.DamperTravel(corner);
            if (!run.Has(role))
            {
                return default;
            }

            if (run.Car.Mapping(role)!.IsFromStatic)
            {
                return run.ClockSamples[(int)role];
            }

            return ground < 0 || double.IsNaN(middles[ground, (int)corner])
                ? default
                : Shift(run.ClockSamples[(int)role], middles[ground, (int)corner]);
        });
        return (travel, marked);

        double Ground(Corner corner)
        {
            double highest = fromStatic ? 0 : double.NaN;
            for (int w = 0; w < windows.Length; w++)
            {
                highest = !(middles[w, (int)corner] <= highest) ? middles[w, (int)corner] : highest;
            }

            return highest;
        }
    }

    private static ImmutableArray<double> Shift(ImmutableArray<double> samples, double zero)
    {
        double[] shifted = new double[samples.Length];
        ReadOnlySpan<double> from = samples.AsSpan();
        for (int i = 0; i < shifted.Length; i++)
        {
            shifted[i] = from[i] - zero;
        }

        return ImmutableCollectionsMarshal.AsImmutableArray(shifted);
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

    private static void AddDrift(List<HealthFinding> findings, Run run, Corner corner, CornerZero zero, ImmutableArray<StandstillWindow> windows, ZeroOptions options)
    {
        ChannelMapping mapping = run.Car.Mapping(ChannelRoles.PushrodLoad(corner))!;
        double floor = mapping.Range is (double low, double high) ? options.DriftFloorShareOfRange * (high - low) : options.UnknownDriftN;
        if (zero.DriftN is double drift && Math.Abs(drift) > floor)
        {
            findings.Add(new HealthFinding(
                mapping.Name,
                "zero_drift",
                HealthVerdict.Doubtful,
                windows[0].StartS,
                windows[^1].EndS,
                FormattableString.Invariant($"The zero of load cell {corner.Code()} moved by {drift:+0;-0} N from the first standstill to the last."),
                $"It is interpolated in between with {(zero.FollowsTemperature ? "cell temperature" : "time")}; the intervals of the loads of this corner are widened.",
                "Check the cell's temperature compensation, its mounting and its cable; zero it again before the next run."));
        }
    }

    private static PerCorner<ImmutableArray<double>> Subtract(Run run, PerCorner<CornerZero> zeros, ImmutableArray<StandstillWindow> windows)
    {
        ImmutableArray<double>[] results = new ImmutableArray<double>[4];
        Parallel.For(0, 4, c =>
        {
            Corner corner = (Corner)c;
            CornerZero zero = zeros[corner];
            ReadOnlySpan<double> raw = run.OnClock(ChannelRoles.PushrodLoad(corner));
            double[] load = new double[raw.Length];
            if (zero.Source == ZeroSource.None || double.IsNaN(zero.StartN) || zero.DriftN is null || zero.DriftN == 0)
            {
                double offset = zero.Source == ZeroSource.None || double.IsNaN(zero.StartN) ? 0 : zero.StartN;
                for (int i = 0; i < load.Length; i++)
                {
                    load[i] = raw[i] - offset;
                }
            }
            else
            {
                ZeroPath.Subtract(run, corner, zero, windows[0], windows[^1], raw, load);
            }

            results[c] = ImmutableCollectionsMarshal.AsImmutableArray(load);
        });
        return PerCorner.Of(corner => results[(int)corner]);
    }
}
