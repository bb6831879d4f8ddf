using MathNet.Numerics.LinearAlgebra;

namespace Telemetry.Aero;

/// <summary>Effect of one part on front and rear load, N.</summary>
/// <param name="speedMps">Air speed, m/s.</param>
/// <param name="front">How the front load at that speed changes with the coefficients.</param>
/// <param name="rear">The same for the rear load.</param>
internal delegate (double FrontN, double RearN) LoadEffect(double speedMps, Vector<double> front, Vector<double> rear);

/// <summary>An error that all passes share, one standard uncertainty large.</summary>
/// <param name="Name">What it is.</param>
/// <param name="Remark">What would improve it.</param>
/// <param name="Loads">Its effect on front and rear load at a speed.</param>
/// <param name="LiftAreaShare">Its effect on every lift area beyond that of the load, share.</param>
internal sealed record SystematicPart(string Name, string Remark, LoadEffect Loads, double LiftAreaShare = 0)
{
    /// <summary>The input's standard uncertainty with its unit, in words.</summary>
    public string Input { get; init; } = "";

    /// <summary>True for a belief in a coefficient that the fit itself weighs against the log.</summary>
    public bool IsPrior { get; init; }
}
