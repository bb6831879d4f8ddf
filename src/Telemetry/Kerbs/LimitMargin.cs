using Telemetry.Car;

namespace Telemetry.Kerbs;

/// <summary>Margin of safety against the limits that the designer gave (equation E11): allowable / (factor * load) - 1; below 0 means exceeded.</summary>
public static class LimitMargin
{
    /// <summary>Margin of one direction.</summary>
    /// <param name="limitN">Allowable, N, as a positive number; null when none was given.</param>
    /// <param name="factor">Factor on the load, at least 1.</param>
    /// <param name="loadN">Largest load in that direction, N, 0 or more.</param>
    /// <returns>NaN without a limit or without a load in that direction.</returns>
    public static double Of(double? limitN, double factor, double loadN) =>
        limitN is { } limit && loadN > 0 ? (limit / (factor * loadN)) - 1 : double.NaN;

    /// <summary>The smaller margin of compression and tension.</summary>
    /// <param name="component">The part with its limits.</param>
    /// <param name="compressionN">Largest compression, N, 0 or more.</param>
    /// <param name="tensionN">Largest tension, N, 0 or more.</param>
    /// <returns>NaN when neither direction has both a limit and a load.</returns>
    public static double Smallest(ComponentDefinition component, double compressionN, double tensionN)
    {
        ArgumentNullException.ThrowIfNull(component);
        double compression = Of(component.CompressionLimitN, component.LimitFactor, compressionN);
        double tension = Of(component.TensionLimitN, component.LimitFactor, tensionN);
        return double.IsNaN(compression) ? tension : double.IsNaN(tension) ? compression : Math.Min(compression, tension);
    }
}
