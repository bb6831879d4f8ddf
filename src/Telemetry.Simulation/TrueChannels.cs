using Telemetry.Car;

namespace Telemetry.Simulation;

/// <summary>True values of every role at its own rate, SI.</summary>
internal sealed class TrueChannels(Scenario scenario, CarDefinition car, Vehicle vehicle, CircuitPath path, TrueSignals signals, LoadCellErrors cells)
{
    // Steer wheel angle per road wheel angle, understeer in rad per m/s2, and brake pressure per braking force: they shape the channels, no answer uses them.
    private const double SteerRatio = 11;
    private const double UndersteerRadS2pm = 0.0006;
    private const double BrakePaPerN = 620;
    private const double EngineIdleRadps = 260;
    private const double EngineRadPerM = 9;

    /// <summary>Rate of a role, Hz.</summary>
    public int RateHz(ChannelRole role)
    {
        SensorDefinition sensors = scenario.Sensors;
        return role switch
        {
            <= ChannelRole.DamperTravelRR => sensors.FastRateHz,
            <= ChannelRole.CellTemperatureRR => sensors.WeatherRateHz,
            ChannelRole.AccelerationX or ChannelRole.AccelerationY or ChannelRole.AccelerationZ => sensors.MediumRateHz,
            ChannelRole.RideHeightFront or ChannelRole.RideHeightRear => sensors.MediumRateHz,
            ChannelRole.AirTemperature or ChannelRole.AirPressure or ChannelRole.AirHumidity or ChannelRole.FuelMass or ChannelRole.WindSpeed or ChannelRole.WindDirection => sensors.WeatherRateHz,
            _ => sensors.SlowRateHz,
        };
    }

    /// <summary>The true signal of a role; loads already carry their cell's gain and zero.</summary>
    public double[] Of(ChannelRole role)
    {
        int corner = (int)role % 4;
        switch (role)
        {
            case <= ChannelRole.PushrodLoadRR:
                return Load(corner);
            case <= ChannelRole.DamperTravelRR:
                double zero = scenario.Sensors.TravelZeroM[(Corner)corner];
                return Filled(role, i => signals.TravelM[corner][i] + zero);
            case <= ChannelRole.CellTemperatureRR:
                return Filled(role, i => cells.TemperatureK((double)i / RateHz(role)));
            case ChannelRole.AccelerationX:
                return Filled(role, i => Slow(signals.Drive.LongitudinalMps2, role, i)
                    - (Vehicle.GravityMps2 * signals.PitchRad[i]) + scenario.Sensors.AccelerationOffsetMps2.X);
            case ChannelRole.AccelerationY:
                return Filled(role, i => Slow(signals.Drive.LateralMps2, role, i)
                    + (Vehicle.GravityMps2 * signals.RollRad[i]) + scenario.Sensors.AccelerationOffsetMps2.Y);
            case ChannelRole.AccelerationZ:
                return Filled(role, i => signals.VerticalMps2[i] + scenario.Sensors.AccelerationOffsetMps2.Z);
            case ChannelRole.RideHeightFront:
                return Filled(role, i => signals.FrontHeightM[i]);
            case ChannelRole.RideHeightRear:
                return Filled(role, i => signals.RearHeightM[i]);
            default:
                return Filled(role, i => Slow(role, i));
        }
    }

    private double Slow(ChannelRole role, int i)
    {
        Drive drive = signals.Drive;
        double distance = Slow(drive.DistanceM, role, i);
        double speed = Slow(drive.SpeedMps, role, i);
        double curvature = path.Curvature(distance);
        double thrust = Slow(drive.ThrustN, role, i);
        double half = (role is ChannelRole.WheelSpeedFL or ChannelRole.WheelSpeedFR ? vehicle.TrackM.Front : vehicle.TrackM.Rear) / 2;
        bool stands = speed <= 0;
        return role switch
        {
            ChannelRole.WheelSpeedFL or ChannelRole.WheelSpeedRL => speed * (1 - (curvature * half)),
            ChannelRole.WheelSpeedFR or ChannelRole.WheelSpeedRR => speed * (1 + (curvature * half)),
            ChannelRole.Speed => speed * (1 + scenario.Sensors.SpeedScaleError),
            ChannelRole.Brake => stands || thrust >= 0 ? 0 : -thrust * BrakePaPerN,
            ChannelRole.Throttle => stands || thrust <= 0 ? 0 : Math.Min(1, thrust * Math.Max(speed, 15) / scenario.Driver.PowerW),
            ChannelRole.SteerAngle => SteerRatio * ((vehicle.WheelbaseM * curvature) + (UndersteerRadS2pm * speed * speed * curvature)),
            ChannelRole.LapNumber => (int)(distance / path.LengthM) + 1,
            ChannelRole.LapDistance => path.WithinLap(distance),
            ChannelRole.YawRate => speed * curvature,
            ChannelRole.Course => path.Course(distance),
            ChannelRole.PositionEast => path.Position(distance).East,
            ChannelRole.PositionNorth => path.Position(distance).North,
            ChannelRole.AirSpeed => Slow(drive.AirSpeedMps, role, i),
            ChannelRole.AirTemperature => scenario.Weather.TemperatureK,
            ChannelRole.AirPressure => scenario.Weather.PressurePa,
            ChannelRole.AirHumidity => scenario.Weather.RelativeHumidity,
            ChannelRole.WindSpeed => scenario.Wind.SpeedMps,
            ChannelRole.WindDirection => scenario.Wind.FromRad,
            ChannelRole.EngineSpeed => EngineIdleRadps + (speed * EngineRadPerM),
            ChannelRole.FuelMass => vehicle.FuelKg(distance, path.LengthM),
            _ => throw new ArgumentOutOfRangeException(nameof(role), role, $"{car.Name}: no signal for this role."),
        };
    }

    private double[] Load(int corner)
    {
        double[] load = (signals.FilteredPushrodN ?? signals.PushrodN)[corner];
        double gain = 1 + cells.GainError(corner);
        double crossTalk = cells.CrossTalk(corner);
        double[] other = (signals.FilteredPushrodN ?? signals.PushrodN)[corner ^ 1];
        double[] values = new double[load.Length];
        int rate = signals.FastRateHz;
        double from = 0;
        double to = 0;
        for (int i = 0; i < load.Length; i++)
        {
            // The zero moves slowly: once a second is enough, and linear between.
            int part = i % rate;
            if (part == 0)
            {
                from = cells.ZeroN(corner, (double)i / rate);
                to = cells.ZeroN(corner, ((double)i / rate) + 1);
            }

            values[i] = (gain * load[i]) + from + ((to - from) * part / rate);
            if (crossTalk != 0)
            {
                values[i] += crossTalk * other[i];
            }
        }

        return values;
    }

    private double[] Filled(ChannelRole role, Func<int, double> of)
    {
        int every = signals.FastRateHz / RateHz(role);
        double[] values = new double[(signals.FastCount + every - 1) / every];
        for (int i = 0; i < values.Length; i++)
        {
            values[i] = of(i);
        }

        return values;
    }

    // Value of a 200 Hz signal at sample i of a role's own grid.
    private double Slow(double[] values, ChannelRole role, int i)
    {
        double place = (double)i * Drive.RateHz / RateHz(role);
        int node = Math.Min((int)place, values.Length - 2);
        double share = place - node;
        return values[node] + (share * (values[node + 1] - values[node]));
    }
}
