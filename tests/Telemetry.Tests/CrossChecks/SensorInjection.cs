using Telemetry.Car;
using Telemetry.Logs;

namespace Telemetry.Tests.CrossChecks;

/// <summary>A fault put into a log: what it is called, which channels it falsifies, and how.</summary>
/// <param name="Name">Row of the table.</param>
/// <param name="Label">Which of the alike faults it is: "FL", "FL RR".</param>
/// <param name="Roles">The channels that the fault falsifies: one of them, or all, must be named.</param>
/// <param name="Apply">The log with the fault in it.</param>
internal sealed record SensorInjection(string Name, string Label, ChannelRole[] Roles, Func<RunLog, CarDefinition, RunLog> Apply)
{
    private const double Degree = Math.PI / 180;

    /// <summary>Every fault of the table.</summary>
    public static IEnumerable<SensorInjection> All()
    {
        for (int s = 0; s < 8; s++)
        {
            ChannelRole role = ChannelRole.PushrodLoadFL + s;
            string kind = s < 4 ? "load cell" : "damper";
            string code = ((Corner)(s % 4)).Code();
            yield return Scaled($"{kind}, sign", code, role, -1);
            foreach (double gain in new[] { 1.05, 0.95, 1.1, 0.9, 1.2, 0.8 })
            {
                yield return Scaled(FormattableString.Invariant($"{kind}, gain {100 * Math.Abs(gain - 1):0} %"), FormattableString.Invariant($"{code} {gain}"), role, gain);
            }

            if (s < 4)
            {
                yield return Scaled("load cell, kgf for N", code, role, 1 / 9.80665);
                yield return Scaled("load cell, lbf for N", code, role, 1 / 4.4482216);
                foreach (double share in new[] { 0.02, 0.05, 0.1 })
                {
                    yield return new(FormattableString.Invariant($"load cell, offset {100 * share:0} % of range"), code, [role], (log, car) => Change(log, car, role, value => value + (share * 32000)));
                }
            }
            else
            {
                yield return Scaled("damper, inch for mm", code, role, 1 / 25.4);
                yield return Scaled("damper, mm for m", code, role, 1000);
            }

            for (int other = s + 1; other < (s < 4 ? 4 : 8); other++)
            {
                ChannelRole second = ChannelRole.PushrodLoadFL + other;
                string pair = s / 2 == other / 2 ? "left and right" : s % 2 == other % 2 ? "front and rear" : "across";
                yield return new($"{kind}s exchanged, {pair}", $"{code} {((Corner)(other % 4)).Code()}", [role, second], (log, car) => Exchange(log, car, role, second));
            }
        }

        foreach (ChannelRole role in new[] { ChannelRole.AccelerationX, ChannelRole.AccelerationY, ChannelRole.AccelerationZ })
        {
            yield return Scaled("acceleration, sign", role.ToString(), role, -1);
            yield return Scaled("acceleration, g for m/s2", role.ToString(), role, 1 / 9.80665);
        }

        yield return new("accelerations x and y exchanged", "", [ChannelRole.AccelerationX, ChannelRole.AccelerationY], (log, car) => Exchange(log, car, ChannelRole.AccelerationX, ChannelRole.AccelerationY));
        foreach (double degrees in new[] { 1, 2, 5 })
        {
            foreach (ChannelRole role in new[] { ChannelRole.AccelerationX, ChannelRole.AccelerationY })
            {
                yield return new(FormattableString.Invariant($"accelerometer tilted by {degrees} deg"), role.ToString(), [role], (log, car) => Tilt(log, car, role, degrees * Degree));
            }
        }

        foreach (double factor in new[] { 1.02, 0.98, 1.05, 0.95, 1.1, 0.9 })
        {
            yield return Scaled(FormattableString.Invariant($"speed, factor {100 * Math.Abs(factor - 1):0} %"), FormattableString.Invariant($"{factor}"), ChannelRole.Speed, factor);
        }
    }

    private static SensorInjection Scaled(string name, string label, ChannelRole role, double factor) =>
        new(name, label, [role], (log, car) => Change(log, car, role, value => factor * value));

    private static RunLog Change(RunLog log, CarDefinition car, ChannelRole role, Func<double, double> change)
    {
        string name = car.Mapping(role)!.Name;
        return log with { Channels = [.. log.Channels.Select(channel => channel.Name == name ? channel with { Samples = [.. channel.Samples.Select(change)] } : channel)] };
    }

    private static RunLog Exchange(RunLog log, CarDefinition car, ChannelRole a, ChannelRole b)
    {
        string nameA = car.Mapping(a)!.Name;
        string nameB = car.Mapping(b)!.Name;
        return log with { Channels = [.. log.Channels.Select(channel => channel.Name == nameA ? channel with { Name = nameB } : channel.Name == nameB ? channel with { Name = nameA } : channel)] };
    }

    /// <summary>Turned about the other horizontal axis: part of the vertical specific force shows on it.</summary>
    private static RunLog Tilt(RunLog log, CarDefinition car, ChannelRole role, double angle)
    {
        LoggedChannel level = log.Find(car.Mapping(role)!.Name)!;
        LoggedChannel up = log.Find(car.Mapping(ChannelRole.AccelerationZ)!.Name)!;
        (double sine, double cosine) = Math.SinCos(angle);
        return log with
        {
            Channels =
            [
                .. log.Channels.Select(channel =>
                    channel.Name == level.Name ? channel with { Samples = [.. level.Samples.Zip(up.Samples, (own, other) => (cosine * own) + (sine * other))] }
                    : channel.Name == up.Name ? channel with { Samples = [.. up.Samples.Zip(level.Samples, (own, other) => (cosine * own) - (sine * other))] }
                    : channel),
            ],
        };
    }
}
