using System.Collections.Immutable;
using Telemetry.Car;

namespace Telemetry.Tests.Output;

/// <summary>An invented single-seater: 760 kg with driver, pushrods allowed 24 kN, inspected from 20 kN.</summary>
internal static class SampleCar
{
    public const double WheelbaseM = 3.0;
    public const double TrackM = 1.6;
    public const double InstallationRatioFront = 0.80;
    public const double InstallationRatioRear = 0.85;
    public const double CompressionLimitN = 24_000;
    public const double InspectionThresholdN = 20_000;

    public static double InstallationRatio(Corner corner) =>
        corner.Axle() == Axle.Front ? InstallationRatioFront : InstallationRatioRear;

    public static CarDefinition Make(SampleOptions options) => new()
    {
        Name = options.CarName,
        Geometry = new(Measured.Exact(WheelbaseM), new(TrackM, TrackM), Measured.Exact(1.65), Measured.Exact(0.30)),
        Masses = new(new(760, 1.5), new(70, 80), Measured.Exact(40)),
        Suspension = new(Ends(InstallationRatioFront), Ends(InstallationRatioRear)),
        Setup = new(new(1800, 1800, 2120, 2120), 30, null, new(0.030, 0.055)),
        Channels = [.. Mapped(options).Select(role => new ChannelMapping { Role = role, Name = options.NamePrefix + role })],
        Components = Components(options),
        LapLengthM = SampleSignals.LapLengthM,
    };

    public static IEnumerable<ChannelRole> Mapped(SampleOptions options)
    {
        for (ChannelRole role = ChannelRole.PushrodLoadFL; role <= ChannelRole.PushrodLoadRR; role++)
        {
            yield return role;
        }

        if (options.HasDampers)
        {
            for (ChannelRole role = ChannelRole.DamperTravelFL; role <= ChannelRole.DamperTravelRR; role++)
            {
                yield return role;
            }
        }

        yield return ChannelRole.Speed;
        yield return ChannelRole.AccelerationX;
        yield return ChannelRole.AccelerationY;
        yield return ChannelRole.LapDistance;
        if (options.HasPosition)
        {
            yield return ChannelRole.PositionEast;
            yield return ChannelRole.PositionNorth;
        }
    }

    private static AxleSuspension Ends(double installationRatio) => new()
    {
        InstallationRatio = RatioCurve.Constant(installationRatio, 0.002),
        DamperRatio = RatioCurve.Constant(0.75, 0.002),
    };

    private static ImmutableArray<ComponentDefinition> Components(SampleOptions options) =>
    [
        .. Corners.All.Select(corner => Part(options, $"PR-{corner.Code()}-07", "pushrod", corner, LoadSource.PushrodLoad, 1)),
        Part(options, "RK-FL-02", "rocker", Corner.FrontLeft, LoadSource.PushrodLoad, 1.4),
        Part(options, "LW-RR-11", "lower wishbone", Corner.RearRight, LoadSource.WheelLoad, -1.1),
    ];

    private static ComponentDefinition Part(SampleOptions options, string id, string what, Corner corner, LoadSource source, double factor) => new()
    {
        Id = options.NamePrefix + id,
        Description = $"{what} {corner.Code()}",
        Corner = corner,
        Load = [new(source, corner, factor)],
        CompressionLimitN = CompressionLimitN * Math.Abs(factor),
        TensionLimitN = 28_000,
        InspectionThresholdN = InspectionThresholdN * Math.Abs(factor),
        Fatigue = new FatigueDefinition { Line = new([new(1e6, 9_000)], 6, 11) },
    };
}
