using Telemetry.Car;
using Telemetry.Runs;

namespace Telemetry.Health;

/// <summary>Which answers rest on which channel, and what is missing for them.</summary>
internal static class MissingChannels
{
    /// <summary>Findings for channels that the log lacks and that an answer needs.</summary>
    public static IEnumerable<HealthFinding> Of(Run run)
    {
        foreach ((ChannelRole role, string name) in Needed())
        {
            if (!run.Has(role))
            {
                yield return new HealthFinding(
                    run.Car.Mapping(role)?.Name ?? name,
                    "missing",
                    role is ChannelRole.Speed ? HealthVerdict.Unusable : HealthVerdict.Doubtful,
                    double.NaN,
                    double.NaN,
                    $"The run has no {name}.",
                    AnswersOf(role),
                    "Log it, and map it under [channels] of the car file.");
            }
        }
    }

    /// <summary>The answers that a role's channel carries, as one sentence.</summary>
    public static string AnswersOf(ChannelRole role) => role switch
    {
        <= ChannelRole.PushrodLoadRR => "Touches every load of this corner: aero load, kerb strikes, fatigue, margins.",
        <= ChannelRole.DamperTravelRR => "Touches the installation ratio, ride heights from dampers, displacement modes and damper velocity.",
        <= ChannelRole.CellTemperatureRR => "Touches the path of the zero between standstills.",
        ChannelRole.Speed or (>= ChannelRole.WheelSpeedFL and <= ChannelRole.WheelSpeedRR) => "Touches zero, aero load, distance, pairing of strikes.",
        ChannelRole.AccelerationX => "Touches the aero load (longitudinal transfer) and the contact-patch loads.",
        ChannelRole.AccelerationY => "Touches the choice of straight passes, the roll share and the contact-patch loads.",
        ChannelRole.AccelerationZ => "Touches the vertical balance, so the aero load.",
        ChannelRole.Brake => "Touches the choice of quasi-steady samples; braking is then taken from deceleration.",
        ChannelRole.RideHeightFront or ChannelRole.RideHeightRear => "Touches ride height and rake; they are then taken from the dampers.",
        ChannelRole.LapNumber or ChannelRole.LapDistance => "Touches laps and places on the lap.",
        ChannelRole.AirTemperature or ChannelRole.AirPressure or ChannelRole.AirHumidity => "Touches air density.",
        ChannelRole.WindSpeed or ChannelRole.WindDirection => "Touches the wind, so the aero load; the wind is then estimated from the straights or assumed nil.",
        ChannelRole.FuelMass => "Touches the mass in the vertical balance.",
        _ => "Touches what is shown, none of the headline answers.",
    };

    private static IEnumerable<(ChannelRole Role, string Name)> Needed()
    {
        yield return (ChannelRole.Speed, "speed");
        yield return (ChannelRole.AccelerationX, "longitudinal acceleration");
        yield return (ChannelRole.AccelerationY, "lateral acceleration");
        yield return (ChannelRole.AccelerationZ, "vertical acceleration");
        foreach (Corner corner in Corners.All)
        {
            yield return (ChannelRoles.DamperTravel(corner), $"damper travel {corner.Code()}");
        }
    }
}
