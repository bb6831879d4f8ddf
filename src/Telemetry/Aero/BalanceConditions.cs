using Telemetry.Car;
using Telemetry.Runs;
using Telemetry.WheelLoads;

namespace Telemetry.Aero;

/// <summary>Aero balance on straights, under braking entry and in fast corners, each by itself.</summary>
/// <remarks>
/// Equation E4 holds wherever the car is quasi-steady: lateral transfer leaves the sums of the axles alone. Under braking the longitudinal transfer
/// (1 - eta) m a_x h / L is as large as a third of the aero load, so that h, eta and a_x dominate the interval. The wind drops out of a share. With eta of
/// braking the load holds eta D h / L of the drag's reaction, which the links carry otherwise than on a straight; without a known drag it stays in.
/// </remarks>
public static class BalanceConditions
{
    /// <summary>The balance by condition.</summary>
    /// <param name="wheels">Wheel loads.</param>
    /// <param name="aero">The aero estimate of the same run, for the straights and the block means.</param>
    /// <param name="options">Gates.</param>
    /// <param name="aeroOptions">What the aero estimate was made with.</param>
    public static BalanceByCondition From(WheelLoadSet wheels, AeroResult aero, BalanceOptions options, AeroOptions? aeroOptions = null)
    {
        ArgumentNullException.ThrowIfNull(wheels);
        ArgumentNullException.ThrowIfNull(aero);
        ArgumentNullException.ThrowIfNull(options);
        ConditionBalance straight = Straight(wheels, aero);
        string? why = Obstacle(wheels, aero);
        if (why is not null || aero.Blocks is not { } blocks)
        {
            why ??= "The run was not cut into windows.";
            return new(
                straight,
                Withheld(BalanceCondition.BrakingEntry, BrakingName, why),
                Withheld(BalanceCondition.FastCorner, CornerName, why),
                Withheld(BalanceCondition.FastCorner, LeftName, why),
                Withheld(BalanceCondition.FastCorner, RightName, why));
        }

        Standstills still = Standstills.Of(wheels);
        BalanceWindows windows = new(wheels.Run, blocks, still, options);
        List<ConditionWindow> corners = windows.FastCorners();
        ConditionFit fit = new(wheels, aero, still, options, aeroOptions ?? AeroOptions.Default);
        return new(
            straight,
            fit.Of(BalanceCondition.BrakingEntry, BrakingName, windows.BrakingEntries()),
            fit.Of(BalanceCondition.FastCorner, CornerName, corners),
            fit.Of(BalanceCondition.FastCorner, LeftName, [.. corners.Where(w => w.IsLeft)]),
            fit.Of(BalanceCondition.FastCorner, RightName, [.. corners.Where(w => !w.IsLeft)]));
    }

    private const string BrakingName = "braking entry";
    private const string CornerName = "fast corners";
    private const string LeftName = "fast corners to the left";
    private const string RightName = "fast corners to the right";

    private static string? Obstacle(WheelLoadSet wheels, AeroResult aero)
    {
        if (wheels.Pushrods.WithheldBecause is { } zero)
        {
            return zero;
        }

        Run run = wheels.Run;
        if (aero.Blocks?.Speed is null)
        {
            return "The log has no speed.";
        }

        return run.Has(ChannelRole.AccelerationX) && run.Has(ChannelRole.AccelerationY)
            ? null
            : "Braking and cornering need logged longitudinal and lateral acceleration.";
    }

    private static ConditionBalance Withheld(BalanceCondition condition, string name, string because) => new()
    {
        Condition = condition,
        Name = name,
        BalanceFrontPct = null,
        WithheldBecause = because,
        Units = 0,
        Windows = 0,
        SpeedMps = double.NaN,
        LongitudinalMps2 = double.NaN,
        LateralMps2 = double.NaN,
        SteerRad = double.NaN,
        Heights = new(double.NaN, double.NaN),
    };

    private static ConditionBalance Straight(WheelLoadSet wheels, AeroResult aero)
    {
        if (aero.AtReference is not { } at)
        {
            return Withheld(BalanceCondition.Straight, "straights", aero.WithheldBecause ?? "There is no aero estimate.") with { Units = aero.Passes.Length };
        }

        HeightPair heights = new(double.NaN, double.NaN);
        RunWindow[] near = [.. aero.Cut.Where(w => w.Pass > 0 && Math.Abs(w.SpeedMps - at.SpeedMps) < 3)];
        if (near.Length > 0 && aero.Blocks is { } blocks && AbsoluteHeights.Of(wheels, blocks) is { } shift)
        {
            heights = new((near.Average(w => w.FrontHeightMm) / 1000) + shift.ShiftM.Front, (near.Average(w => w.RearHeightMm) / 1000) + shift.ShiftM.Rear);
        }

        return Withheld(BalanceCondition.Straight, "straights", "") with
        {
            BalanceFrontPct = at.BalanceFrontPct,
            WithheldBecause = null,
            Units = aero.Passes.Length,
            Windows = aero.Passes.Sum(p => p.Windows),
            SpeedMps = at.SpeedMps,
            LongitudinalMps2 = 0,
            LateralMps2 = 0,
            SteerRad = double.NaN,
            Heights = heights,
            StraightAtSameSpeedPct = at.BalanceFrontPct,
        };
    }
}
