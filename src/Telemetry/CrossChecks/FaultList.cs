using System.Collections.Immutable;
using Telemetry.Car;
using Telemetry.Runs;

namespace Telemetry.CrossChecks;

/// <summary>The explanations that are tested: each sensor by itself, pairs exchanged, and what a wrong line in the channel map does to several at once.</summary>
internal static class FaultList
{
    public static ImmutableArray<SensorFault> Of(Run run, FaultContext context)
    {
        ImmutableArray<SensorFault>.Builder faults = ImmutableArray.CreateBuilder<SensorFault>();
        int[] known = [.. Enumerable.Range(0, 8).Where(s => double.IsFinite(context.Responses.Value[s, 0]))];
        int[] cells = [.. known.Where(s => s < 4)];
        int[] dampers = [.. known.Where(s => s >= 4)];
        foreach (int s in known)
        {
            faults.Add(new SensorGain([s], context) { Roles = Roles(s), Subject = Name(s) });
        }

        foreach (int s in Enumerable.Range(0, 4).Where(s => double.IsFinite(context.Single.Measured[s])))
        {
            faults.Add(new SingleOffset(Single.ZeroFL + s) { Roles = Roles(s), Subject = Name(s) });
        }

        foreach (int[] kind in new[] { cells, dampers })
        {
            for (int i = 0; i < kind.Length; i++)
            {
                for (int j = i + 1; j < kind.Length; j++)
                {
                    Exchange($"{Name(kind[i])} and {Name(kind[j])}", (kind[i], kind[j]));
                }
            }

            if (kind.Length == 4)
            {
                string all = kind[0] < 4 ? "all load cells" : "all dampers";
                int o = kind[0];
                faults.Add(new SensorGain([.. kind], context) { Roles = Roles(kind), Subject = all });
                Exchange($"{all}, left and right,", (o, o + 1), (o + 2, o + 3));
                Exchange($"{all}, front and rear,", (o, o + 2), (o + 1, o + 3));
            }
        }

        if (known.Length == 8)
        {
            Exchange("load cells and dampers, left and right,", (0, 1), (2, 3), (4, 5), (6, 7));
        }

        AddMovement(faults, run, context);
        return faults.ToImmutable();

        void Exchange(string subject, params (int A, int B)[] pairs) =>
            faults.Add(new SensorExchange([.. pairs], context) { Roles = Roles([.. pairs.SelectMany(pair => new[] { pair.A, pair.B })]), Subject = subject });
    }

    /// <summary>What a person calls a sensor.</summary>
    public static string Name(int sensor) => $"{(sensor < 4 ? "load cell" : "damper")} {((Corner)(sensor % 4)).Code()}";

    private static void AddMovement(ImmutableArray<SensorFault>.Builder faults, Run run, FaultContext context)
    {
        bool x = run.Has(ChannelRole.AccelerationX);
        bool y = run.Has(ChannelRole.AccelerationY);
        bool z = run.Has(ChannelRole.AccelerationZ);
        double[] measured = context.Single.Measured;
        Gain(x, new AccelerationGain(true, false, false, context.Responses.LongitudinalIsMeasured) { Roles = [ChannelRole.AccelerationX], Subject = "longitudinal acceleration" });
        Gain(y, new AccelerationGain(false, true, false, context.Responses.LateralIsMeasured) { Roles = [ChannelRole.AccelerationY], Subject = "lateral acceleration" });
        Gain(z && double.IsFinite(measured[(int)Single.StandingVertical]), new AccelerationGain(false, false, true, true) { Roles = [ChannelRole.AccelerationZ], Subject = "vertical acceleration" });
        if (x && y)
        {
            ImmutableArray<ChannelRole> both = [ChannelRole.AccelerationX, ChannelRole.AccelerationY];
            faults.Add(new AxisExchange { Roles = both, Subject = "longitudinal and lateral acceleration" });
            if (z)
            {
                faults.Add(new AccelerationGain(true, true, true, true) { Roles = [.. both, ChannelRole.AccelerationZ], Subject = "all accelerations" });
            }
        }

        Offset(ChannelRole.AccelerationX, "longitudinal acceleration", Single.StandingLongitudinal, Single.LapLongitudinal);
        Offset(ChannelRole.AccelerationY, "lateral acceleration", Single.StandingLateral, Single.StraightLateral);
        Offset(ChannelRole.AccelerationZ, "vertical acceleration", Single.StandingVertical);
        if (Known(Single.LongitudinalPerSpeedChange, Single.LapLength, Single.LapDistance, Single.Position, Single.WheelSpeed))
        {
            faults.Add(new MovementGain(isYaw: false) { Roles = [ChannelRole.Speed], Subject = "speed" });
        }

        if (Known(Single.LateralPerTurning))
        {
            faults.Add(new MovementGain(isYaw: true) { Roles = [ChannelRole.YawRate], Subject = "yaw rate" });
        }

        void Gain(bool isThere, SensorFault fault)
        {
            if (isThere)
            {
                faults.Add(fault);
            }
        }

        void Offset(ChannelRole role, string subject, params Single[] statements)
        {
            if (Known(statements))
            {
                faults.Add(new SingleOffset(statements) { Roles = [role], Subject = subject });
            }
        }

        bool Known(params Single[] statements) => statements.Any(statement => double.IsFinite(measured[(int)statement]));
    }

    private static ImmutableArray<ChannelRole> Roles(params int[] sensors) => [.. sensors.Select(s => ChannelRole.PushrodLoadFL + s)];
}
