using System.Collections.Immutable;
using Telemetry.Car;
using Telemetry.Logs;
using Telemetry.Runs;

namespace Telemetry.Tests;

/// <summary>A plain car and logs made in code, for tests whose expected values are worked out by hand.</summary>
internal static class TestCars
{
    public const double G = 9.80665;

    /// <summary>600 kg without fuel, no fuel, 60 kg unsprung an axle, sprung centre in the middle of a 3 m wheelbase, ratio 0.8 front and rear.</summary>
    public static CarDefinition Plain(double ratio = 0.8, PerCorner<double>? cornerWeightN = null) => new()
    {
        Name = "plain",
        Source = "car.toml",
        Geometry = new CarGeometry(Measured.Exact(3), new PerAxle<double>(1.6, 1.5), Measured.Exact(1.5), Measured.Exact(0.3), new PerAxle<double>(0.02, 0.04), new PerAxle<double>(0.3, 0.3)),
        Masses = new CarMasses(Measured.Exact(600), new PerAxle<double>(60, 60), Measured.Exact(0)),
        Suspension = new PerAxle<AxleSuspension>(Axle(ratio), Axle(ratio)),
        Setup = new SetupSheet(cornerWeightN ?? new PerCorner<double>(150 * G, 150 * G, 150 * G, 150 * G), 4, null, new PerAxle<double>(0.03, 0.05)),
        Channels =
        [
            .. Corners.All.Select(corner => new ChannelMapping { Role = ChannelRoles.PushrodLoad(corner), Name = $"P {corner.Code()}", Unit = "N", Range = (-20000, 20000) }),
            .. Corners.All.Select(corner => new ChannelMapping { Role = ChannelRoles.DamperTravel(corner), Name = $"D {corner.Code()}", Unit = "m" }),
            .. Corners.All.Select(corner => new ChannelMapping { Role = ChannelRoles.CellTemperature(corner), Name = $"T {corner.Code()}", Unit = "K" }),
            new ChannelMapping { Role = ChannelRole.Speed, Name = "v", Unit = "m/s" },
            new ChannelMapping { Role = ChannelRole.AccelerationX, Name = "ax", Unit = "m/s2" },
            new ChannelMapping { Role = ChannelRole.AccelerationY, Name = "ay", Unit = "m/s2" },
            new ChannelMapping { Role = ChannelRole.AccelerationZ, Name = "az", Unit = "m/s2" },
            new ChannelMapping { Role = ChannelRole.LapNumber, Name = "lap", Unit = "" },
            new ChannelMapping { Role = ChannelRole.LapDistance, Name = "s", Unit = "m" },
            new ChannelMapping { Role = ChannelRole.RideHeightFront, Name = "hf", Unit = "m" },
        ],
    };

    /// <summary>A channel whose value is a function of time.</summary>
    public static LoggedChannel Channel(string name, string unit, TimeBase time, Func<double, double> value)
    {
        var samples = new double[time.Count];
        for (int i = 0; i < samples.Length; i++)
        {
            samples[i] = value(time.At(i));
        }

        return new LoggedChannel(name, unit, time, [.. samples]);
    }

    /// <summary>A log of the given channels.</summary>
    public static RunLog Log(params LoggedChannel[] channels) => new("run", "run.csv", [.. channels], []);

    private static AxleSuspension Axle(double ratio) => new()
    {
        InstallationRatio = RatioCurve.Constant(ratio),
        DamperRatio = RatioCurve.Constant(1),
        LinkageShareDriving = 0.25,
    };
}
