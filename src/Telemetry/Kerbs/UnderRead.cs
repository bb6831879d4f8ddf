namespace Telemetry.Kerbs;

/// <summary>What sampling can hide of a short pulse.</summary>
public static class UnderRead
{
    /// <summary>Largest share of a half-sine pulse's peak that sampling can miss: 1 - cos(pi dt / (2 T)).</summary>
    /// <remarks>The peak lies half way between two samples, so the nearest one is dt/2 away. Equation E8.</remarks>
    /// <param name="stepS">dt, time between samples, s, above 0.</param>
    /// <param name="pulseS">T, length of the pulse, s, above 0.</param>
    /// <returns>0 to 1; 1 when the pulse fits between two samples.</returns>
    public static double Worst(double stepS, double pulseS) => stepS >= pulseS ? 1 : 1 - Math.Cos(Math.PI * stepS / (2 * pulseS));
}
