namespace Telemetry.WheelLoads;

/// <summary>How wheel loads are formed.</summary>
public sealed record WheelLoadOptions
{
    /// <summary>Defaults.</summary>
    public static WheelLoadOptions Default { get; } = new();

    /// <summary>Whether contact-patch loads are formed as well. Default true; a caller that shows none saves the time.</summary>
    public bool WithContactPatch { get; init; } = true;
}
