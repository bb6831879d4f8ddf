using Telemetry.Aero;

namespace Telemetry.Platform;

/// <summary>What a ride-height map says of slopes, as shims need it.</summary>
public static class MapSlopes
{
    /// <summary>Change of the balance with front and with rear ride height, % a metre up; null where the map withholds it.</summary>
    public static (Measured? PerFront, Measured? PerRear) Balance(RideHeightMap map)
    {
        ArgumentNullException.ThrowIfNull(map);
        return (Of(map.PerFrontHeight?.BalancePctPerM), Of(map.PerRearHeight?.BalancePctPerM));
    }

    /// <summary>Change of the loads with ride height at one dynamic pressure, N a metre up; null where the map withholds any.</summary>
    /// <param name="map">The map.</param>
    /// <param name="pressurePa">Dynamic pressure of the speed, Pa.</param>
    public static LoadByHeight? Loads(RideHeightMap map, double pressurePa)
    {
        ArgumentNullException.ThrowIfNull(map);
        return Of(map.PerFrontHeight?.FrontLiftAreaM2PerM) is { } ff && Of(map.PerRearHeight?.FrontLiftAreaM2PerM) is { } fr
            && Of(map.PerFrontHeight?.RearLiftAreaM2PerM) is { } rf && Of(map.PerRearHeight?.RearLiftAreaM2PerM) is { } rr
            ? new(Times(ff), Times(fr), Times(rf), Times(rr))
            : null;

        Measured Times(Measured one) => new(one.Value * pressurePa, one.StandardUncertainty * pressurePa);
    }

    /// <summary>An estimate as value and standard uncertainty: its half width over the normal quantile, which is on the wide side where few passes made it.</summary>
    internal static Measured? Of(Estimate? estimate) => estimate is null ? null : new Measured(estimate.Value, estimate.HalfWidth / StandardNormal.Quantile975);
}
