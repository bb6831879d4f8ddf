
namespace Telemetry.Platform;

/// <summary>What a ride-height map says of slopes, as shims and comparisons need it.</summary>
internal static class MapSlopes
{
    /// <summary>An estimate as value and standard uncertainty: its half width over the normal quantile, which is on the wide side where few passes made it.</summary>
    public static Measured? Of(Estimate? estimate) => estimate is null ? null : new Measured(estimate.Value, estimate.HalfWidth / StandardNormal.Quantile975);
}
