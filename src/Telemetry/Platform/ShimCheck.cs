using System.Collections.Immutable;
using Telemetry.Car;
using Telemetry.Runs;
using Telemetry.WheelLoads;
using Telemetry.Zero;

namespace Telemetry.Platform;

/// <summary>Whether a change of ride height was really made.</summary>
public enum ChangeMade
{
    /// <summary>The car stands as predicted, and not as before.</summary>
    Made,

    /// <summary>The car stands as before, and not as predicted.</summary>
    NotMade,

    /// <summary>It stands neither as before nor as predicted.</summary>
    OtherChange,

    /// <summary>The readings cannot tell.</summary>
    CannotBeTold,
}

/// <summary>One axle before and after.</summary>
/// <param name="PredictedM">Change that should have been made, m.</param>
/// <param name="MeasuredM">Change of the static ride height by the sensors, m, with 95 % interval, taken to the same fuel; null when it cannot be read.</param>
/// <param name="DamperM">Change of the mean damper reading at standstill, m; null when not read. A pushrod shim leaves it as it is.</param>
/// <param name="Verdict">What a person is told.</param>
/// <param name="Because">Why, as one sentence.</param>
public sealed record AxleCheck(double PredictedM, Estimate? MeasuredM, double? DamperM, ChangeMade Verdict, string Because);

/// <summary>Holds the static readings of two runs against a change that should have been made between them.</summary>
/// <remarks>
/// A pushrod shim lifts the body and leaves the load at the wheel, so spring, rocker and damper stay where they stood: only a ride height sensor sees it. A damper that moved at standstill tells of
/// something else, a spring platform or a load.
/// </remarks>
public static class ShimCheck
{
    /// <summary>Standard uncertainty of a ride height sensor's reading from run to run, m: common practice, no source.</summary>
    private const double SensorM = 0.0001;

    /// <summary>A damper that moved by more than this at standstill was moved, m: twice what friction leaves, common practice, no source.</summary>
    private const double DamperMovedM = 0.0005;

    /// <summary>Checks both axles.</summary>
    /// <param name="before">Wheel loads of the run before the change.</param>
    /// <param name="after">The same after it.</param>
    /// <param name="predictedM">Change that should have been made, m, up positive.</param>
    /// <param name="options">How a standing axle settles.</param>
    public static PerAxle<AxleCheck> From(WheelLoadSet before, WheelLoadSet after, PerAxle<double> predictedM, ShimPredictionOptions? options = null)
    {
        ArgumentNullException.ThrowIfNull(before);
        ArgumentNullException.ThrowIfNull(after);
        ArgumentNullException.ThrowIfNull(predictedM);
        options ??= ShimPredictionOptions.Default;
        return new(Check(Axle.Front), Check(Axle.Rear));

        AxleCheck Check(Axle axle) => Of(
            StaticReading.Of(before, axle, options), StaticReading.Of(after, axle, options), predictedM[axle], FuelSag(before, after, axle));
    }

    /// <summary>The verdict on one axle.</summary>
    internal static AxleCheck Of(StaticReading before, StaticReading after, double predicted, double fuelRiseM)
    {
        double? damper = double.IsFinite(after.DamperM - before.DamperM) ? after.DamperM - before.DamperM : null;
        string moved = damper is double travel && Math.Abs(travel) > DamperMovedM
            ? FormattableString.Invariant($" The dampers moved by {travel * 1000:+0.00;-0.00} mm at standstill, which a pushrod shim does not do: look for a changed spring platform, third element or load.")
            : "";
        if (!double.IsFinite(before.HeightM + after.HeightM))
        {
            return new(predicted, null, damper, ChangeMade.CannotBeTold, "No ride height sensor was read at standstill in both runs, and dampers do not see a pushrod shim. Measure the ride height with a gauge." + moved);
        }

        double change = after.HeightM - before.HeightM - fuelRiseM;
        double u = Math.Sqrt((before.UncertaintyM * before.UncertaintyM) + (after.UncertaintyM * after.UncertaintyM) + (2 * SensorM * SensorM));
        Estimate measured = new(change, change - (StandardNormal.Quantile975 * u), change + (StandardNormal.Quantile975 * u));
        bool asPredicted = Math.Abs(change - predicted) <= StandardNormal.Quantile975 * u;
        bool asBefore = Math.Abs(change) <= StandardNormal.Quantile975 * u;
        (ChangeMade verdict, string because) = (asPredicted, asBefore) switch
        {
            (true, false) => (ChangeMade.Made, "The car stands as predicted."),
            (false, true) => (ChangeMade.NotMade, "The car stands as before."),
            (false, false) => (ChangeMade.OtherChange, "The car stands neither as before nor as predicted: another change was made, or the prediction is wrong."),
            _ => (ChangeMade.CannotBeTold, FormattableString.Invariant($"The change is no larger than what the readings leave open ({StandardNormal.Quantile975 * u * 1000:0.00} mm).")),
        };
        return new(predicted, measured, damper, verdict, because + moved);
    }

    /// <summary>How much higher an axle stands after the change because less fuel is on board, m; 0 when the rates are not known.</summary>
    private static double FuelSag(WheelLoadSet before, WheelLoadSet after, Axle axle)
    {
        CarDefinition car = after.Run.Car;
        if (CornerStatics.Of(car) is not { } statics)
        {
            return 0;
        }

        double share = car.Geometry.SprungCentreBehindFrontAxleM.Value / car.Geometry.WheelbaseM.Value;
        double less = Fuel(before) - Fuel(after);
        return less * StandardGravity.Mps2 * (axle == Axle.Front ? 1 - share : share) / statics.AxleRateNpm[axle];

        static double Fuel(WheelLoadSet wheels)
        {
            ImmutableArray<StandstillWindow> still = [.. wheels.Pushrods.Windows.Where(window => !window.OnStands)];
            return still.IsEmpty ? wheels.Run.Car.Masses.FuelAtStartKg.Value : still.Average(window => FuelOnBoard.At(wheels.Run, window.StartIndex));
        }
    }
}

/// <summary>What sensors read of a standing axle.</summary>
/// <param name="HeightM">Mean ride height over the standstills, m; NaN when not read.</param>
/// <param name="UncertaintyM">Its standard uncertainty, m.</param>
/// <param name="DamperM">Mean reading of both dampers as logged, m; NaN when not read.</param>
internal readonly record struct StaticReading(double HeightM, double UncertaintyM, double DamperM)
{
    public static StaticReading Of(WheelLoadSet wheels, Axle axle, ShimPredictionOptions options)
    {
        Run run = wheels.Run;
        ImmutableArray<StandstillWindow> still = [.. wheels.Pushrods.Windows.Where(window => !window.OnStands)];
        double[] heights = [.. still.Select(window => Mean(run, axle == Axle.Front ? ChannelRole.RideHeightFront : ChannelRole.RideHeightRear, window)).Where(double.IsFinite)];
        (Corner left, Corner right) = axle == Axle.Front ? (Corner.FrontLeft, Corner.FrontRight) : (Corner.RearLeft, Corner.RearRight);
        double[] dampers = [.. still.Select(window => (Mean(run, ChannelRoles.DamperTravel(left), window) + Mean(run, ChannelRoles.DamperTravel(right), window)) / 2).Where(double.IsFinite)];
        double height = heights.Length == 0 ? double.NaN : heights.Average();

        // Friction lets an axle settle anew at each stop; the stops show how far, and at least the usual.
        double scatter = heights.Length < 2 ? 0 : Math.Sqrt(heights.Sum(h => (h - height) * (h - height)) / (heights.Length - 1));
        double one = Math.Max(options.SettlingM, scatter);
        return new(height, one / Math.Sqrt(Math.Max(1, heights.Length)), dampers.Length == 0 ? double.NaN : dampers.Average());
    }

    private static double Mean(Run run, ChannelRole role, StandstillWindow window) =>
        run.Has(role) ? run.OnClock(role).MeanOfFinite(window.StartIndex, window.EndIndex) : double.NaN;
}
