using System.Collections.Immutable;
using Telemetry.WheelLoads;

namespace Telemetry.Aero;

/// <summary>What a run shows of its aero load, cut into windows and passes: all that the estimate rests on.</summary>
/// <param name="Wheels">The run with its car, zeros and gains; its samples are not read again.</param>
/// <param name="Air">Air density.</param>
/// <param name="Still">What was read at standstill.</param>
/// <param name="Passes">Straight passes in time order.</param>
/// <param name="Used">Windows of the passes.</param>
/// <param name="HeadingKnown">Whether the passes have headings.</param>
/// <param name="FromNorth">Whether those are counted from north.</param>
/// <param name="MeasuresAir">Whether the windows' flow speed is that of the air.</param>
/// <param name="HasHeights">Whether the windows have ride heights.</param>
/// <param name="HeightSource">Where those came from, in words; empty without.</param>
internal sealed record AeroEvidence(
    WheelLoadSet Wheels,
    AirState Air,
    Standstills Still,
    ImmutableArray<StraightPass> Passes,
    IReadOnlyList<RunWindow> Used,
    bool HeadingKnown,
    bool FromNorth,
    bool MeasuresAir,
    bool HasHeights,
    string HeightSource)
{
    /// <summary>The balance's terms as the car file gives them.</summary>
    public BalanceTerms Terms => BalanceTerms.Of(Wheels.Run.Car, Still.FuelKg, Still.LoadN);
}
