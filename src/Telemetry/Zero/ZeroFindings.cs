using System.Collections.Immutable;
using Telemetry.Car;
using Telemetry.Health;
using Telemetry.Runs;

namespace Telemetry.Zero;

/// <summary>What a person should know about the zeros of a run.</summary>
internal static class ZeroFindings
{
    /// <summary>Drift within the run beyond what a healthy cell does.</summary>
    public static void AddDrift(List<HealthFinding> findings, Run run, Corner corner, CornerZero zero, ImmutableArray<StandstillWindow> windows, ZeroOptions options)
    {
        ChannelMapping mapping = run.Car.Mapping(ChannelRoles.PushrodLoad(corner))!;
        double floor = mapping.Range is (double low, double high) ? options.DriftFloorShareOfRange * (high - low) : options.UnknownDriftN;
        if (zero.DriftN is double drift && Math.Abs(drift) > floor)
        {
            string scatter = zero.ResidualScatterN is double left ? FormattableString.Invariant($" The {windows.Length} stops scatter by {left:0} N about a straight line.") : "";
            findings.Add(new HealthFinding(
                mapping.Name,
                "zero_drift",
                HealthVerdict.Doubtful,
                windows[0].StartS,
                windows[^1].EndS,
                FormattableString.Invariant($"The zero of load cell {corner.Code()} moved by {drift:+0;-0} N from the first standstill to the last.{scatter}{EngineNote(windows)}"),
                $"It is interpolated in between with {(zero.FollowsTemperature ? "cell temperature" : "time")}; the intervals of the loads of this corner are widened.",
                "Check the cell's temperature compensation, its mounting and its cable; zero it again before the next run."));
        }
    }

    /// <summary>Only one standstill: drift cannot be seen.</summary>
    public static HealthFinding Once(StandstillWindow window) => new(
        "log",
        "zero_once",
        HealthVerdict.Good,
        window.StartS,
        window.EndS,
        "The car stands still only once in this log, so the drift of the zeros cannot be seen.",
        "The interval of every absolute load is widened by an assumed drift.",
        "Log at least 5 s of standstill before and after the run.");

    /// <summary>No zero at all.</summary>
    public static HealthFinding Missing(string because, ZeroOptions options) => new(
        "log",
        "zero_missing",
        HealthVerdict.Unusable,
        double.NaN,
        double.NaN,
        because,
        "Aero load, wheel loads, peaks and margins are withheld.",
        options.History.Runs.IsEmpty
            ? "Log at least 5 s of standstill on the ground, with the setup sheet's corner weights in the car file."
            : "Log at least 5 s of standstill on the ground, with the setup sheet's corner weights in the car file. The zero file knows no other run of these cells to borrow from.");

    /// <summary>A zero that left the range of its earlier runs: a cell that was overloaded, loosened or changed reads otherwise from then on.</summary>
    public static void AddShift(List<HealthFinding> findings, Run run, Corner corner, CornerZero zero, double gain, DateTimeOffset? takenAt, ZeroOptions options)
    {
        BetweenRuns between = BetweenRuns.Of(run.Car, corner, options);
        if (BorrowedZeros.Of(run, corner, gain, takenAt, options) is not { Borrowed: { } from } before || between.DegreesOfFreedom == 0)
        {
            return;
        }

        double shift = zero.StartN - before.StartN;
        double floor = ZeroBudgetFloor(zero);
        double chance = Widening.Chance(shift / Math.Max(gain > 0 ? between.DeviationN / gain : between.DeviationN, floor), between.DegreesOfFreedom);
        if (chance < options.ShiftChance)
        {
            findings.Add(new HealthFinding(
                run.Car.Mapping(ChannelRoles.PushrodLoad(corner))!.Name,
                "zero_shifted",
                HealthVerdict.Doubtful,
                double.NaN,
                double.NaN,
                FormattableString.Invariant($"The zero of load cell {corner.Code()} is {shift:+0;-0} N from that of run '{from.Run}'; from run to run these cells differ by {between.DeviationN:0} N. By chance that happens once in {1 / Math.Max(chance, 1e-6):0} runs."),
                "The loads of this run rest on its own zero, so they hold if the cell does.",
                "Ask whether cell, pushrod or setup were changed. If not, the cell may have been overloaded: check its zero unloaded and its gain, and inspect what it is mounted to."));
        }
    }

    /// <summary>Zeros that never differed leave no scatter to judge by: the run's own doubt is the least that counts.</summary>
    private static double ZeroBudgetFloor(CornerZero zero) => Math.Sqrt(2) * zero.Budget.OwnN;

    private static string EngineNote(ImmutableArray<StandstillWindow> windows) => (windows[0].Engine, windows[^1].Engine) switch
    {
        (EngineState.Off, EngineState.Running) => " The engine was off at the first and ran at the last: its vibration loosens friction, which can be part of it.",
        (EngineState.Running, EngineState.Off) => " The engine ran at the first and was off at the last: its vibration loosens friction, which can be part of it.",
        _ => "",
    };
}
