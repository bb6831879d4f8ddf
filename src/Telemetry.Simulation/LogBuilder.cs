using System.Collections.Immutable;
using System.Runtime.InteropServices;
using Telemetry.Car;
using Telemetry.Logs;

namespace Telemetry.Simulation;

/// <summary>Noise, range, resolution, dropouts, sign and unit: from the true signals to what the logger wrote.</summary>
internal static class LogBuilder
{
    /// <summary>One channel for every role that the car file maps, in the order of the car file.</summary>
    public static RunLog Of(Scenario scenario, CarDefinition car, TrueChannels truth)
    {
        ImmutableArray<LoggedChannel>.Builder channels = ImmutableArray.CreateBuilder<LoggedChannel>(car.Channels.Length);
        foreach (ChannelMapping mapping in car.Channels)
        {
            channels.Add(Channel(scenario, mapping, truth));
        }

        return new RunLog(scenario.Name, scenario.Source, channels.MoveToImmutable(), []);
    }

    private static LoggedChannel Channel(Scenario scenario, ChannelMapping mapping, TrueChannels truth)
    {
        SensorDefinition sensors = scenario.Sensors;
        ChannelRole role = mapping.Role;
        double[] values = truth.Of(role);
        int rate = truth.RateHz(role);
        RoleDefaults defaults = RoleDefaults.Of(role, sensors);
        string unit = mapping.Unit ?? defaults.Unit;
        if (ChannelUnits.Read(role, unit, out UnitConversion conversion) is { } fault)
        {
            throw new InputError($"{scenario.Name}, channel '{mapping.Name}'", fault.Found, fault.Remedy);
        }

        SeededRandom random = new(scenario.Seed, "sensor " + role);
        bool isLoad = role <= ChannelRole.PushrodLoadRR;
        double resolution = sensors.IsPerfect ? 0 : (isLoad ? sensors.LoadCell.ResolutionN : null) ?? mapping.Resolution ?? defaults.Resolution;
        (double low, double high) = sensors.IsPerfect ? (double.NegativeInfinity, double.PositiveInfinity)
            : (isLoad ? sensors.LoadCell.RangeN : null) ?? mapping.Range ?? (double.NegativeInfinity, double.PositiveInfinity);
        double noise = sensors.IsPerfect ? 0 : defaults.Noise;
        double stepInUnit = Clean(resolution / conversion.Scale);
        if (isLoad)
        {
            CellSpikes.Add(CellSpikes.Of(scenario, (int)role % 4, values.Length, rate), values);
        }

        for (int i = 0; i < values.Length; i++)
        {
            double value = values[i];
            if (noise > 0)
            {
                value += noise * random.Normal();
            }

            value = Math.Clamp(value, low, high);

            // Whole steps of a clean decimal step in the log's own unit, so that the log's numbers are as short as a logger writes them.
            double logged = conversion.FromSi(value);
            values[i] = mapping.Sign * (stepInUnit > 0 ? Math.Round(logged / stepInUnit, MidpointRounding.ToEven) * stepInUnit : logged);
        }

        Drop(scenario, role, rate, values);
        return new LoggedChannel(mapping.Name, unit, TimeBase.Even(0, 1.0 / rate, values.Length), SampleSource.Of(ImmutableCollectionsMarshal.AsImmutableArray(values)));
    }

    // A step rounded to twelve digits, so that 1e-5 m is 0.01 mm and not one rounding off.
    private static double Clean(double step)
    {
        if (!(step > 0))
        {
            return 0;
        }

        double magnitude = 1;
        while (step * magnitude < 1e11)
        {
            magnitude *= 10;
        }

        return Math.Round(step * magnitude) / magnitude;
    }

    private static void Drop(Scenario scenario, ChannelRole role, int rate, double[] values)
    {
        if (scenario.Sensors.IsPerfect)
        {
            return;
        }

        foreach (DropoutDefinition dropout in scenario.Sensors.Dropouts)
        {
            if (dropout.Role != role)
            {
                continue;
            }

            SeededRandom random = new(scenario.Seed, "dropout " + role);
            int count = (int)Math.Round(dropout.PerMinute * values.Length / rate / 60);
            int length = Math.Max(1, (int)Math.Round(dropout.LengthS * rate));
            for (int k = 0; k < count; k++)
            {
                int from = (int)(random.Uniform() * values.Length);
                values.AsSpan(from, Math.Min(length, values.Length - from)).Fill(double.NaN);
            }
        }
    }
}
