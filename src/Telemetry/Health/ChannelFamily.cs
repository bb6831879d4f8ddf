using Telemetry.Car;

namespace Telemetry.Health;

/// <summary>Channels that the same physics holds for.</summary>
internal enum ChannelFamily
{
    /// <summary>Pushrod load cell.</summary>
    Load,

    /// <summary>Damper potentiometer.</summary>
    Travel,

    /// <summary>Accelerometer.</summary>
    Acceleration,

    /// <summary>Ride-height sensor.</summary>
    RideHeight,

    /// <summary>Speed of the car or of a wheel.</summary>
    Speed,

    /// <summary>Temperature of a load cell.</summary>
    Temperature,

    /// <summary>Anything else: only what is missing is looked for.</summary>
    Other,
}

/// <summary>Which role belongs to which family.</summary>
internal static class ChannelFamilies
{
    public static ChannelFamily Of(ChannelRole role) => role switch
    {
        <= ChannelRole.PushrodLoadRR => ChannelFamily.Load,
        <= ChannelRole.DamperTravelRR => ChannelFamily.Travel,
        <= ChannelRole.CellTemperatureRR => ChannelFamily.Temperature,
        <= ChannelRole.Speed => ChannelFamily.Speed,
        <= ChannelRole.AccelerationZ => ChannelFamily.Acceleration,
        ChannelRole.RideHeightFront or ChannelRole.RideHeightRear => ChannelFamily.RideHeight,
        _ => ChannelFamily.Other,
    };
}
