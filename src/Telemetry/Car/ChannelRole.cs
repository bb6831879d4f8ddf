namespace Telemetry.Car;

/// <summary>What a channel means to the analysis. The car file maps each role to the name the logger uses.</summary>
/// <remarks>Per-corner roles are listed as four values, FL FR RL RR, in this order, so that role = base + corner.</remarks>
public enum ChannelRole
{
    /// <summary>Pushrod load cell FL, N, compression positive. FR, RL and RR follow.</summary>
    PushrodLoadFL = 0,

    /// <summary>Pushrod load cell FR, N.</summary>
    PushrodLoadFR = 1,

    /// <summary>Pushrod load cell RL, N.</summary>
    PushrodLoadRL = 2,

    /// <summary>Pushrod load cell RR, N.</summary>
    PushrodLoadRR = 3,

    /// <summary>Damper travel FL, m, bump positive. FR, RL and RR follow.</summary>
    DamperTravelFL = 4,

    /// <summary>Damper travel FR, m.</summary>
    DamperTravelFR = 5,

    /// <summary>Damper travel RL, m.</summary>
    DamperTravelRL = 6,

    /// <summary>Damper travel RR, m.</summary>
    DamperTravelRR = 7,

    /// <summary>Load-cell temperature FL, K. FR, RL and RR follow.</summary>
    CellTemperatureFL = 8,

    /// <summary>Load-cell temperature FR, K.</summary>
    CellTemperatureFR = 9,

    /// <summary>Load-cell temperature RL, K.</summary>
    CellTemperatureRL = 10,

    /// <summary>Load-cell temperature RR, K.</summary>
    CellTemperatureRR = 11,

    /// <summary>Wheel speed FL as a road speed, m/s. FR, RL and RR follow.</summary>
    WheelSpeedFL = 12,

    /// <summary>Wheel speed FR, m/s.</summary>
    WheelSpeedFR = 13,

    /// <summary>Wheel speed RL, m/s.</summary>
    WheelSpeedRL = 14,

    /// <summary>Wheel speed RR, m/s.</summary>
    WheelSpeedRR = 15,

    /// <summary>Road speed of the car, m/s.</summary>
    Speed = 16,

    /// <summary>Longitudinal specific force, m/s2, forward positive.</summary>
    AccelerationX = 17,

    /// <summary>Lateral specific force, m/s2, left positive.</summary>
    AccelerationY = 18,

    /// <summary>Vertical specific force, m/s2, up positive: +g at rest on level ground.</summary>
    AccelerationZ = 19,

    /// <summary>Brake demand: pressure in Pa or a share from 0 to 1; above its threshold means braking.</summary>
    Brake = 20,

    /// <summary>Throttle, share from 0 to 1.</summary>
    Throttle = 21,

    /// <summary>Steer angle at the wheel rim, rad, left positive.</summary>
    SteerAngle = 22,

    /// <summary>Front ride height on the centre line, m.</summary>
    RideHeightFront = 23,

    /// <summary>Rear ride height on the centre line, m.</summary>
    RideHeightRear = 24,

    /// <summary>Lap number; a new lap starts where it changes.</summary>
    LapNumber = 25,

    /// <summary>Distance from the start line of the lap, m; falls back to 0 at each lap.</summary>
    LapDistance = 26,

    /// <summary>Yaw rate, rad/s, left positive.</summary>
    YawRate = 27,

    /// <summary>Course over ground, rad, clockwise from north.</summary>
    Course = 28,

    /// <summary>Position east of a fixed point, m.</summary>
    PositionEast = 29,

    /// <summary>Position north of a fixed point, m.</summary>
    PositionNorth = 30,

    /// <summary>Speed of the air past the car, m/s, from a pitot.</summary>
    AirSpeed = 31,

    /// <summary>Air temperature, K.</summary>
    AirTemperature = 32,

    /// <summary>Static air pressure, Pa.</summary>
    AirPressure = 33,

    /// <summary>Relative humidity, share from 0 to 1.</summary>
    AirHumidity = 34,

    /// <summary>Fuel mass on board, kg.</summary>
    FuelMass = 35,

    /// <summary>Engine speed, rad/s; 0 when it stands. Tells whether the engine shook the car while it stood.</summary>
    EngineSpeed = 36,

    /// <summary>Speed of the wind over the ground by a weather station, m/s.</summary>
    WindSpeed = 37,

    /// <summary>Direction that the wind blows from by a weather station, rad, clockwise from north.</summary>
    WindDirection = 38,
}

/// <summary>Families of roles and their SI units.</summary>
public static class ChannelRoles
{
    /// <summary>The pushrod load of a corner.</summary>
    public static ChannelRole PushrodLoad(Corner corner) => ChannelRole.PushrodLoadFL + (int)corner;

    /// <summary>The damper travel of a corner.</summary>
    public static ChannelRole DamperTravel(Corner corner) => ChannelRole.DamperTravelFL + (int)corner;

    /// <summary>The load-cell temperature of a corner.</summary>
    public static ChannelRole CellTemperature(Corner corner) => ChannelRole.CellTemperatureFL + (int)corner;

    /// <summary>The wheel speed of a corner.</summary>
    public static ChannelRole WheelSpeed(Corner corner) => ChannelRole.WheelSpeedFL + (int)corner;
}
