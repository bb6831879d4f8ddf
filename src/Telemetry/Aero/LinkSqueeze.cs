using Telemetry.Car;

namespace Telemetry.Aero;

/// <summary>How much lower an axle stands while the car gains speed because its links, beside the springs, press the tyres down.</summary>
/// <remarks>
/// Links that carry a share eta of the driving force lift the body and squeeze the tyres by eta m a_x h / L, which no pushrod feels: at the same load of the springs the car is lower
/// than at steady speed. At 25 % anti-squat and 3 m/s2 that is 0.1 mm of ride height, and 1 mm is worth a percent of lift area.
/// </remarks>
internal static class LinkSqueeze
{
    /// <summary>Squeeze of front and rear tyres beyond that of steady speed, mm, positive where the axle is lower; 0 without a tyre rate or a share.</summary>
    /// <param name="window">The window.</param>
    /// <param name="terms">Masses, lengths and shares of equation E4.</param>
    /// <param name="suspension">Tyre rates.</param>
    /// <param name="accelerationX">Longitudinal specific force without its offset, m/s2.</param>
    public static PerAxle<double> OfMm(RunWindow window, BalanceTerms terms, PerAxle<AxleSuspension> suspension, double accelerationX)
    {
        double transfer = (terms.WithoutFuelKg + window.FuelKg) * accelerationX * terms.CentreHeightM / terms.WheelbaseM;
        return new(
            -terms.LinkageShare.Front * transfer * SoftnessMmpN(suspension.Front),
            terms.LinkageShare.Rear * transfer * SoftnessMmpN(suspension.Rear));
    }

    /// <summary>1 where measured heights hold the squeeze, as those of sensors do; 0 where they come from wheel travel, which lies on the springs' side of the links.</summary>
    /// <param name="heightSource">Where the heights came from, in words.</param>
    public static double SeenIn(string heightSource) => heightSource == RideHeights.FromSensors ? 1 : 0;

    private static double SoftnessMmpN(AxleSuspension axle) => axle.TyreRateNpm is double rate && rate > 0 ? 1000 / (2 * rate) : 0;
}
