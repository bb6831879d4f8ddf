namespace Telemetry;

/// <summary>Standard gravity.</summary>
internal static class StandardGravity
{
    /// <summary>m/s2; exact by definition (ISO 80000-3).</summary>
    public const double Mps2 = 9.80665;
}
