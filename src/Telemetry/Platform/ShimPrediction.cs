using Telemetry.Car;

namespace Telemetry.Platform;

/// <summary>What limits a prediction from shims.</summary>
public sealed record ShimPredictionOptions
{
    /// <summary>Defaults.</summary>
    public static ShimPredictionOptions Default { get; } = new();

    /// <summary>Standard uncertainty of one shim's thickness, m. Default 0.000005: shims are ground to 0.01 mm, common practice, no source.</summary>
    public double ShimM { get; init; } = 5e-6;

    /// <summary>Standard uncertainty of where a standing axle settles within its friction, m. Default 0.00015, common practice, no source.</summary>
    public double SettlingM { get; init; } = 0.00015;
}

/// <summary>How aero loads follow the ride heights at one speed, N a metre up; front and rear load by front and rear ride height.</summary>
/// <param name="FrontPerFront">Front load by front ride height.</param>
/// <param name="FrontPerRear">Front load by rear ride height.</param>
/// <param name="RearPerFront">Rear load by front ride height.</param>
/// <param name="RearPerRear">Rear load by rear ride height.</param>
public sealed record LoadByHeight(Measured FrontPerFront, Measured FrontPerRear, Measured RearPerFront, Measured RearPerRear);

/// <summary>Predicted change of the ride heights by a shim plan.</summary>
/// <param name="StaticM">At standstill, m, with 95 % interval.</param>
/// <param name="AtSpeedM">At speed, m: the static change and what the aero load makes of it on the springs; null when neither rates nor sensitivities are known.</param>
/// <param name="AtSpeedRemark">What the change at speed rests on, or why there is none.</param>
public sealed record ShimPrediction(PerAxle<Estimate> StaticM, PerAxle<Estimate>? AtSpeedM, string AtSpeedRemark)
{
    /// <summary>What the balance does with a change of the ride heights.</summary>
    /// <param name="change">Change of the ride heights, m.</param>
    /// <param name="perFront">Change of the balance with front ride height, % a metre up; null when not known.</param>
    /// <param name="perRear">The same with rear ride height.</param>
    /// <returns>Change of the front share, %; null when an axle moves whose sensitivity is not known. The uncertainties of heights and sensitivities add as squares (GUM, JCGM 100:2008, 5.1.2).</returns>
    public static Estimate? BalancePct(PerAxle<Estimate> change, Measured? perFront, Measured? perRear)
    {
        ArgumentNullException.ThrowIfNull(change);
        double value = 0, variance = 0;
        bool isKnown = false;
        foreach ((Estimate height, Measured? slope) in new[] { (change.Front, perFront), (change.Rear, perRear) })
        {
            if (slope is { } known)
            {
                isKnown = true;
                double ofHeight = height.HalfWidth / StandardNormal.Quantile975 * known.Value, ofSlope = height.Value * known.StandardUncertainty;
                value += height.Value * known.Value;
                variance += (ofHeight * ofHeight) + (ofSlope * ofSlope);
            }
            else if (height.Value != 0)
            {
                return null;
            }
        }

        return isKnown ? Interval((value, Math.Sqrt(variance))) : null;
    }

    /// <summary>Predicts.</summary>
    /// <remarks>
    /// At standstill h = S / i: the ratio's uncertainty is common to both sides, the shims' are independent, and both sides make the mean. At speed the body sinks by A / k of its axle, and A moves with
    /// the ride heights, so (1 + dA/dh / k) h = h_static for the two axles together: a map in which load grows as the car sinks makes the change larger.
    /// </remarks>
    public static ShimPrediction For(CarDefinition car, ShimPlan plan, LoadByHeight? loads, ShimPredictionOptions? options = null)
    {
        ArgumentNullException.ThrowIfNull(car);
        ArgumentNullException.ThrowIfNull(plan);
        options ??= ShimPredictionOptions.Default;
        PerAxle<(double Value, double U)> still = new(Static(Axle.Front), Static(Axle.Rear));
        PerAxle<Estimate> shown = new(Interval(still.Front), Interval(still.Rear));
        if (CornerStatics.Of(car) is not { } statics)
        {
            return new(shown, null, "At speed: not predicted, because the car file lacks spring or tyre rates.");
        }

        if (loads is null)
        {
            return new(shown, null, "At speed: to first order as at standstill; how the aero load moves with ride height is not known here.");
        }

        (double Front, double Rear) At(double front, double rear, double ff, double fr, double rf, double rr)
        {
            double a = 1 + (ff / statics.AxleRateNpm.Front), b = fr / statics.AxleRateNpm.Front;
            double c = rf / statics.AxleRateNpm.Rear, d = 1 + (rr / statics.AxleRateNpm.Rear);
            double determinant = (a * d) - (b * c);
            return (((d * front) - (b * rear)) / determinant, ((a * rear) - (c * front)) / determinant);
        }

        double[] best = [still.Front.Value, still.Rear.Value, loads.FrontPerFront.Value, loads.FrontPerRear.Value, loads.RearPerFront.Value, loads.RearPerRear.Value];
        double[] u = [still.Front.U, still.Rear.U, loads.FrontPerFront.StandardUncertainty, loads.FrontPerRear.StandardUncertainty, loads.RearPerFront.StandardUncertainty, loads.RearPerRear.StandardUncertainty];
        (double Front, double Rear) middle = At(best[0], best[1], best[2], best[3], best[4], best[5]);
        if (!(Math.Abs(middle.Front) + Math.Abs(middle.Rear) < 10 * (Math.Abs(best[0]) + Math.Abs(best[1]) + 1e-9)))
        {
            return new(shown, null, "At speed: not predicted, because the aero load would pull the car down faster than its springs hold it.");
        }

        double front2 = 0, rear2 = 0;
        for (int k = 0; k < best.Length; k++)
        {
            // Each input moved by its standard uncertainty (GUM, JCGM 100:2008, 5.1.3 note 2).
            double[] moved = [.. best];
            moved[k] += u[k];
            (double f, double r) = At(moved[0], moved[1], moved[2], moved[3], moved[4], moved[5]);
            front2 += (f - middle.Front) * (f - middle.Front);
            rear2 += (r - middle.Rear) * (r - middle.Rear);
        }

        return new(shown, new(Interval((middle.Front, Math.Sqrt(front2))), Interval((middle.Rear, Math.Sqrt(rear2)))), "At speed: the static change and what the aero load makes of it on springs and tyres.");

        (double Value, double U) Static(Axle axle)
        {
            AxleShims shims = plan.Axles[axle];
            double ratio = car.Suspension[axle].InstallationRatio.At(0);
            int count = shims.Shims.Sum(shim => shim.Count);
            double thickness = options.ShimM * Math.Sqrt(count / 2.0) / ratio;
            double settling = count == 0 ? 0 : options.SettlingM;
            double ofRatio = shims.AchievedM * car.Suspension[axle].InstallationRatio.RelativeUncertainty;
            return (shims.AchievedM, Math.Sqrt((thickness * thickness) + (settling * settling) + (ofRatio * ofRatio)));
        }
    }

    private static Estimate Interval((double Value, double U) one) => new(one.Value, one.Value - (StandardNormal.Quantile975 * one.U), one.Value + (StandardNormal.Quantile975 * one.U));
}
