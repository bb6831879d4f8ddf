namespace Telemetry;

/// <summary>What sampling can hide of a short pulse.</summary>
public static class UnderRead
{
    /// <summary>Largest share of a half-sine pulse's peak that sampling can miss: 1 - cos(pi dt / (2 T)).</summary>
    /// <remarks>The peak lies half way between two samples, so the nearest one is dt/2 away. Equation E8.</remarks>
    /// <param name="stepS">dt, time between samples, s, above 0.</param>
    /// <param name="pulseS">T, length of the pulse, s, above 0.</param>
    /// <returns>0 to 1; 1 when the pulse fits between two samples.</returns>
    public static double Worst(double stepS, double pulseS) => stepS >= pulseS ? 1 : 1 - Math.Cos(Math.PI * stepS / (2 * pulseS));

    /// <summary>True when what sampling can hide changes what is said of a peak: more than a share of it, or enough for a limit to be past.</summary>
    /// <param name="worstShare">Share of the peak that can be hidden, 0 to 1.</param>
    /// <param name="margin">Margin of safety as read: allowable / (factor * load) - 1; NaN when there is no limit.</param>
    /// <param name="mattersFrom">Share from which on it matters by itself.</param>
    public static bool Matters(double worstShare, double margin, double mattersFrom) =>
        worstShare > mattersFrom || CanPassLimit(worstShare, margin);

    /// <summary>True when a peak that reads within its limit could be past it by what sampling can hide.</summary>
    /// <param name="worstShare">Share of the peak that can be hidden, 0 to 1.</param>
    /// <param name="margin">Margin of safety as read; NaN when there is no limit.</param>
    public static bool CanPassLimit(double worstShare, double margin) => margin >= 0 && (1 + margin) * (1 - worstShare) < 1;

    /// <summary>Lowest round rate (hundreds of hertz) at which a half sine of a length loses at most a share of its peak: dt = 2 T / pi * acos(1 - share).</summary>
    /// <param name="pulseS">T, length of the pulse, s, above 0.</param>
    /// <param name="share">Share that may be lost, above 0, below 1.</param>
    /// <returns>Hz.</returns>
    public static double RateFor(double pulseS, double share) => 100 * Math.Ceiling(Math.PI / (2 * pulseS * Math.Acos(1 - share)) / 100);
}
