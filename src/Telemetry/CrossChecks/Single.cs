namespace Telemetry.CrossChecks;

/// <summary>Statements that need no model of the springs: each compares two sensors, or a sensor and the car file.</summary>
internal enum Single
{
    /// <summary>Zero of load cell FL at standstill, N; FR, RL and RR follow.</summary>
    ZeroFL = 0,

    /// <summary>Zero of FR.</summary>
    ZeroFR = 1,

    /// <summary>Zero of RL.</summary>
    ZeroRL = 2,

    /// <summary>Zero of RR.</summary>
    ZeroRR = 3,

    /// <summary>Longitudinal acceleration per change of speed: 1.</summary>
    LongitudinalPerSpeedChange = 4,

    /// <summary>Longitudinal acceleration per speed times yaw rate: 0.</summary>
    LongitudinalPerTurning = 5,

    /// <summary>Lateral acceleration per change of speed: 0.</summary>
    LateralPerSpeedChange = 6,

    /// <summary>Lateral acceleration per speed times yaw rate: 1.</summary>
    LateralPerTurning = 7,

    /// <summary>Integrated speed per lap over the car file's lap length: 1.</summary>
    LapLength = 8,

    /// <summary>Integrated speed over the way along the positions: 1.</summary>
    Position = 9,

    /// <summary>Wheel speed over road speed: 1.</summary>
    WheelSpeed = 10,

    /// <summary>Longitudinal acceleration at standstill, m/s2: 0.</summary>
    StandingLongitudinal = 11,

    /// <summary>Lateral acceleration at standstill, m/s2: 0.</summary>
    StandingLateral = 12,

    /// <summary>Vertical acceleration at standstill less g, m/s2: 0.</summary>
    StandingVertical = 13,

    /// <summary>Longitudinal acceleration over a whole lap, where hills and changes of speed cancel, m/s2: 0.</summary>
    LapLongitudinal = 14,

    /// <summary>Lateral acceleration when the car does not turn, m/s2: 0.</summary>
    StraightLateral = 15,

    /// <summary>Integrated speed over the way by the lap-distance channel: 1.</summary>
    LapDistance = 16,
}
