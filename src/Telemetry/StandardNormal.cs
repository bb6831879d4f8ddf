namespace Telemetry;

/// <summary>The standard normal distribution.</summary>
internal static class StandardNormal
{
    /// <summary>97.5 % quantile: half of a 95 % interval over its standard uncertainty.</summary>
    public const double Quantile975 = 1.959963984540054;
}
