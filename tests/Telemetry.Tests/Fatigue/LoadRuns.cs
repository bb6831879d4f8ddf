using System.Collections.Immutable;
using Telemetry.Car;
using Telemetry.Logs;
using Telemetry.Runs;
using Telemetry.WheelLoads;
using Telemetry.Zero;

namespace Telemetry.Tests.Fatigue;

/// <summary>Runs made in code from pushrod loads as functions of time, for the fatigue and kerb stages.</summary>
internal static class LoadRuns
{
    /// <summary>Wheel loads of a run in which each cell reads what the function says; laps of 60 s, 40 m/s unless said otherwise.</summary>
    public static WheelLoadSet Of(
        CarDefinition car,
        TimeBase time,
        Func<Corner, double, double> loadN,
        Func<Corner, double, double>? travelM = null,
        Func<double, double>? speedMps = null,
        string? noZero = null,
        bool isLowPassed = false,
        double zeroUncertaintyN = 0)
    {
        Func<double, double> speed = speedMps ?? (_ => 40);
        Run run = RunAssembly.From(
            TestCars.Log(
            [
                .. Corners.All.Select(corner => TestCars.Channel($"P {corner.Code()}", "N", time, t => loadN(corner, t))),
                .. Corners.All.Select(corner => TestCars.Channel($"D {corner.Code()}", "m", time, t => travelM?.Invoke(corner, t) ?? 0)),
                TestCars.Channel("v", "m/s", time, speed),
                TestCars.Channel("lap", "", time, t => 1 + Math.Floor(t / 60)),
                TestCars.Channel("s", "m", time, t => 40 * (t % 60)),
            ]),
            car);
        ZeroedLoads pushrods = new()
        {
            Run = run,
            PushrodLoadN = PerCorner.Of(corner => run.OnClock(ChannelRoles.PushrodLoad(corner))),
            DamperTravelM = PerCorner.Of(corner => run.ClockSamples[(int)ChannelRoles.DamperTravel(corner)]),
            Zeros = PerCorner.Of(_ => new CornerZero(noZero is null ? ZeroSource.GroundCornerWeights : ZeroSource.None, 0, 0, 0, zeroUncertaintyN, false)),
            Windows = [],
            WithheldBecause = noZero,
            Findings = [],
            IsLowPassed = isLowPassed,
        };
        return WheelLoadFormation.From(pushrods, WheelLoadOptions.Default);
    }

    /// <summary>A plain car with the given components.</summary>
    public static CarDefinition CarWith(params ComponentDefinition[] components) => TestCars.Plain() with { Components = [.. components] };

    /// <summary>A pushrod of the front left with limits and an S-N line of slope 5.</summary>
    public static ComponentDefinition Pushrod(string id = "PR-1", double factor = 1, Corner corner = Corner.FrontLeft) => new()
    {
        Id = id,
        Description = "pushrod",
        Corner = corner,
        Load = [new LoadTerm(LoadSource.PushrodLoad, corner, factor)],
        CompressionLimitN = 12_000,
        TensionLimitN = 8_000,
        Fatigue = new FatigueDefinition { Line = new SnLine([new SnPoint(1e6, 10_000)], 5, 5) },
    };
}
