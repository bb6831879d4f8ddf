namespace Telemetry.Platform;

/// <summary>From a wished change of the aero balance at speed to a change of ride height.</summary>
public static class BalanceWish
{
    /// <summary>The ride height change of one axle that moves the balance as wished.</summary>
    /// <param name="wishedPct">Wished change of the front share of the aero load, points of %.</param>
    /// <param name="perFrontPctPerM">Change of the balance with front ride height, % a metre up, with standard uncertainty; null when not known.</param>
    /// <param name="perRearPctPerM">The same with rear ride height.</param>
    /// <returns>Front and rear change, m; one of them is 0: that axle moves whose sensitivity is known best for its size, so that the least is guessed.</returns>
    /// <exception cref="ArgumentException">No sensitivity is known well enough: its 95 % interval holds 0, so that not even the direction is sure.</exception>
    public static (double FrontM, double RearM) RideHeights(double wishedPct, Measured? perFrontPctPerM, Measured? perRearPctPerM)
    {
        double front = Worth(perFrontPctPerM);
        double rear = Worth(perRearPctPerM);
        if (Math.Max(front, rear) < 2)
        {
            throw new ArgumentException("How the balance follows ride height is not known well enough: not even the direction is sure. Log runs at two static ride heights, or name a sensitivity.");
        }

        return front >= rear ? (wishedPct / perFrontPctPerM!.Value.Value, 0) : (0, wishedPct / perRearPctPerM!.Value.Value);

        static double Worth(Measured? slope) => slope is not { } known || known.Value == 0 ? 0
            : known.StandardUncertainty > 0 ? Math.Abs(known.Value) / known.StandardUncertainty
            : double.MaxValue;
    }
}
