using Telemetry.Car;

namespace Telemetry.Simulation;

/// <summary>Zero, drift, temperature and gain of the four load cells of one run.</summary>
internal sealed class LoadCellErrors
{
    private const double WarmUpS = 150;
    private readonly LoadCellDefinition definition;
    private readonly double[] drawnZeroN = new double[4];
    private readonly double startS;
    private readonly double ambientK;

    public LoadCellErrors(Scenario scenario)
    {
        definition = scenario.Sensors.LoadCell;
        startS = scenario.StandstillBeforeS;
        ambientK = scenario.Weather.TemperatureK;
        SeededRandom random = new(scenario.Seed, "cell zeros");
        for (int corner = 0; corner < 4; corner++)
        {
            drawnZeroN[corner] = definition.ZeroScatterN * random.Normal();
        }
    }

    public double GainError(int corner) => definition.GainError[(Corner)corner];

    public double CrossTalk(int corner) => definition.CrossTalk[(Corner)corner];

    /// <summary>Temperature of the cells, K: the air's until the car moves, then rising towards its end value.</summary>
    public double TemperatureK(double timeS) =>
        ambientK + (timeS <= startS ? 0 : definition.WarmUpK * (1 - PortableMath.Exp(-(timeS - startS) / WarmUpS)));

    /// <summary>Reading without load, N.</summary>
    public double ZeroN(int corner, double timeS) => drawnZeroN[corner] + definition.ZeroN[(Corner)corner]
        + (definition.DriftNps[(Corner)corner] * timeS)
        + (definition.TemperatureShiftNpK[(Corner)corner] * (TemperatureK(timeS) - ambientK));
}
