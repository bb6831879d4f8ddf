using System.Collections.Immutable;
using Telemetry.Aero;
using Telemetry.Car;
using Telemetry.Cleaning;
using Telemetry.Fatigue;
using Telemetry.Health;
using Telemetry.Kerbs;
using Telemetry.Logs;
using Telemetry.Modes;
using Telemetry.Platform;
using Telemetry.Review;
using Telemetry.Runs;
using Telemetry.WheelLoads;
using Telemetry.Zero;

namespace Telemetry.Tests.Output;

/// <summary>Whole reviews with believable numbers, made without any stage, so that outputs can be tested by themselves.</summary>
internal static class SampleReviews
{
    private static readonly Lazy<RunReview> ShortRun = new(() => Make(new()));

    /// <summary>Four laps of 50 s at 200 Hz with every answer given; made once, as it cannot change.</summary>
    public static RunReview Full => ShortRun.Value;

    /// <summary>A review with every answer given.</summary>
    public static RunReview Make(SampleOptions options)
    {
        SampleSignals signals = new(options);
        Run run = RunOf(options, signals);
        WheelLoadSet wheels = WheelsOf(run, signals);
        KerbResult kerbs = SampleResults.Kerbs(signals, wheels);
        FatigueResult fatigue = SampleResults.Fatigue(run, wheels, options);
        return new RunReview
        {
            Run = run,
            Health = SampleResults.Health(options),
            Cleaning = ChannelCleaning.From(run, SampleResults.Health(options), CleaningOptions.Default),
            Wheels = wheels,
            Modes = ModesOf(signals, options.HasDampers),
            Aero = SampleAero.Make(run),
            Platform = SampleResults.Platform(signals, options),
            Kerbs = kerbs,
            Fatigue = fatigue,
            DamageSources = DamageSource.From(run, kerbs, fatigue),
            Actions =
            [
                new(ActionUrgency.BeforeNextRun, options.NamePrefix + "PR-FL-07", "Retire pushrod FL.", "Its peak of 25.1 kN is past its limit of 24.0 kN."),
                new(ActionUrgency.Soon, options.NamePrefix + "AccelerationY", "Check the connector of the lateral accelerometer.", "It dropped out for 1.6 s."),
            ],
            LibraryVersion = "0.1.0",
        };
    }

    /// <summary>The same run with each answer withheld for a stated reason, and without dampers or components.</summary>
    public static RunReview Withheld(SampleOptions options)
    {
        RunReview full = Make(options with { HasDampers = false, HasPosition = false });
        return full with
        {
            Health = new(HealthVerdict.Unusable, [new("log", "no_zero", HealthVerdict.Unusable, double.NaN, double.NaN,
                "The car never stood still.", "No absolute load.", "Log 3 s of standstill.")]),
            Aero = full.Aero with
            {
                AtReference = null,
                WithheldBecause = "Two straight passes; three are the least from which an interval can be given.",
                Curve = [],
                Budget = [],
            },
            Kerbs = full.Kerbs with { Strikes = [], Kerbs = [], WithheldBecause = "The loads were low-passed at 20 Hz before logging." },
            Fatigue = new() { Components = [], WithheldBecause = "The loads were low-passed at 20 Hz before logging." },
            DamageSources = [],
        };
    }

    private static Run RunOf(SampleOptions options, SampleSignals signals)
    {
        TimeBase clock = TimeBase.Even(0, 1 / options.RateHz, signals.Count);
        ImmutableArray<Lap> laps = [.. signals.LapStarts.Select((start, i) =>
        {
            int end = i + 1 < signals.LapStarts.Count ? signals.LapStarts[i + 1] : signals.Count;
            return new Lap(i + 1, start, end, clock.At(start), clock.At(Math.Min(end, signals.Count - 1)), SampleSignals.LapLengthM, i > 0);
        })];
        SampleSource?[] onClock = new SampleSource?[(int)ChannelRole.FuelMass + 1];
        CarDefinition car = SampleCar.Make(options);
        foreach (ChannelMapping mapping in car.Channels)
        {
            onClock[(int)mapping.Role] = SampleSource.Of(SampleSignals.Freeze(Samples(signals, mapping.Role)));
        }

        return new Run
        {
            Name = options.RunName,
            Car = car,
            Clock = clock,
            Channels = [.. car.Channels.OrderBy(c => c.Role).Select(c => new Channel(c.Role, c.Name, clock, onClock[(int)c.Role]!, []))],
            ClockSamples = [.. onClock],
            Laps = new(laps, "lap distance channel"),
            LapDistanceM = SampleSource.Of(SampleSignals.Freeze(signals.DistanceM)),
            LogFindings = [],
        };
    }

    private static double[] Samples(SampleSignals signals, ChannelRole role) => role switch
    {
        <= ChannelRole.PushrodLoadRR => Scaled(signals.WheelN[(Corner)role], 1 / SampleCar.InstallationRatio((Corner)role)),
        <= ChannelRole.DamperTravelRR => Scaled(signals.WheelTravelM[role - ChannelRole.DamperTravelFL + Corner.FrontLeft], 0.75),
        ChannelRole.Speed => signals.SpeedMps,
        ChannelRole.AccelerationX => signals.AccelerationX,
        ChannelRole.AccelerationY => signals.AccelerationY,
        ChannelRole.LapDistance => signals.DistanceM,
        ChannelRole.PositionEast => signals.EastM,
        ChannelRole.PositionNorth => signals.NorthM,
        _ => throw new ArgumentOutOfRangeException(nameof(role)),
    };

    private static WheelLoadSet WheelsOf(Run run, SampleSignals signals)
    {
        bool dampers = run.Has(ChannelRole.DamperTravelFL);
        CornerZero zero = new(ZeroSource.GroundCornerWeights, 120, 131, 11, 22, false);
        ZeroedLoads pushrods = new()
        {
            Run = run,
            PushrodLoadN = PerCorner.Of(c => run.OnClock(ChannelRoles.PushrodLoad(c))),
            DamperTravelM = PerCorner.Of(c => dampers ? run.ClockSamples[(int)ChannelRoles.DamperTravel(c)] : null),
            Zeros = PerCorner.Of(_ => zero),
            Windows = [new(0, (int)(3 / run.Clock.StepS), 0, 3, false)],
            WithheldBecause = null,
            IsLowPassed = false,
            Findings = [],
        };
        return new WheelLoadSet
        {
            Run = run,
            Pushrods = pushrods,
            LoadN = signals.WheelN.Select((_, load) => SampleSource.Of(SampleSignals.Freeze(load))),
            WheelTravelM = signals.WheelTravelM.Select((_, travel) => dampers ? SampleSource.Of(SampleSignals.Freeze(travel)) : null),
            OutsideTable = PerCorner.Of(_ => 0),
            ContactPatchLoadN = null,
            ContactPatchWithheldBecause = "The car file gives no roll-centre heights.",
            Findings = [],
        };
    }

    private static ModeSet ModesOf(SampleSignals signals, bool hasDampers)
    {
        PerCorner<double[]> load = signals.WheelN;
        PerCorner<double[]> travel = signals.WheelTravelM;
        return new ModeSet
        {
            Load = new(
                Mixed(load, 1, 1, 1, 1),
                Mixed(load, 1, 1, -1, -1),
                Mixed(load, -1, 1, -1, 1),
                Mixed(load, 1, -1, -1, 1),
                Mixed(load, 1.65, 1.65, -1.35, -1.35),
                Mixed(load, -SampleCar.TrackM / 2, SampleCar.TrackM / 2, -SampleCar.TrackM / 2, SampleCar.TrackM / 2)),
            Displacement = !hasDampers ? null : new(
                Mixed(travel, 0.25, 0.25, 0.25, 0.25),
                Mixed(travel, 0.5 / SampleCar.WheelbaseM, 0.5 / SampleCar.WheelbaseM, -0.5 / SampleCar.WheelbaseM, -0.5 / SampleCar.WheelbaseM),
                Mixed(travel, -1 / SampleCar.TrackM, 1 / SampleCar.TrackM, 0, 0),
                Mixed(travel, 0, 0, -1 / SampleCar.TrackM, 1 / SampleCar.TrackM),
                Mixed(travel, 0.25, -0.25, -0.25, 0.25)),
        };
    }

    private static SampleSource Mixed(PerCorner<double[]> of, double fl, double fr, double rl, double rr)
    {
        double[] mixed = new double[of.FrontLeft.Length];
        for (int i = 0; i < mixed.Length; i++)
        {
            mixed[i] = (fl * of.FrontLeft[i]) + (fr * of.FrontRight[i]) + (rl * of.RearLeft[i]) + (rr * of.RearRight[i]);
        }

        return SampleSource.Of(SampleSignals.Freeze(mixed));
    }

    private static double[] Scaled(double[] values, double factor)
    {
        double[] scaled = new double[values.Length];
        for (int i = 0; i < scaled.Length; i++)
        {
            scaled[i] = values[i] * factor;
        }

        return scaled;
    }
}
