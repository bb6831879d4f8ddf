namespace Telemetry.Simulation;

/// <summary>A second-order Butterworth low-pass that runs at the solver's rate, as an analogue filter before the converter would.</summary>
internal sealed class LowPass
{
    private readonly double b0;
    private readonly double a1;
    private readonly double a2;
    private double s1;
    private double s2;

    /// <param name="cutOffHz">Frequency of -3 dB.</param>
    /// <param name="rateHz">The solver's rate.</param>
    /// <param name="start">The value it has settled to at the start.</param>
    public LowPass(double cutOffHz, double rateHz, double start)
    {
        double angle = Math.PI * cutOffHz / rateHz;
        double k = PortableMath.Sin(angle) / PortableMath.Cos(angle);
        double norm = 1 / (1 + (Math.Sqrt(2) * k) + (k * k));
        b0 = k * k * norm;
        a1 = 2 * ((k * k) - 1) * norm;
        a2 = (1 - (Math.Sqrt(2) * k) + (k * k)) * norm;
        s1 = start * (1 - b0);
        s2 = start * (b0 - a2);
    }

    public double Next(double value)
    {
        double output = (b0 * value) + s1;
        s1 = (2 * b0 * value) - (a1 * output) + s2;
        s2 = (b0 * value) - (a2 * output);
        return output;
    }
}
