using System.Collections.Immutable;
using Telemetry.Car;

namespace Telemetry.Platform;

/// <summary>A wished change of the platform; null leaves a field to follow from the others, or unchanged.</summary>
/// <param name="FrontRideHeightM">Change of the front ride height, m, up positive.</param>
/// <param name="RearRideHeightM">Change of the rear ride height, m, up positive.</param>
/// <param name="RakeRad">Change of the rake (rear minus front over the wheelbase), rad, nose-down positive.
/// Without a ride height beside it, the rear of the car moves; with one, the other axle moves.</param>
public sealed record ShimWish(double? FrontRideHeightM, double? RearRideHeightM, double? RakeRad);

/// <summary>Some shims of one thickness.</summary>
/// <param name="ThicknessM">Thickness, m.</param>
/// <param name="Count">How many, at least 1.</param>
public readonly record struct ShimCount(double ThicknessM, int Count);

/// <summary>The shims for one axle; the same at its left and right pushrod.</summary>
/// <param name="WishedM">Wished change of ride height, m, up positive.</param>
/// <param name="PushrodChangeM">Exact change of the pushrod's length, s = i * change, m, longer positive.</param>
/// <param name="StackM">What the shims make of it, m, longer positive.</param>
/// <param name="Shims">The stack at each of the two pushrods, thickest first: put in where <paramref name="StackM"/> is above 0, taken out where it is below; empty when the change is less than half the thinnest shim.</param>
/// <param name="AchievedM">Change of ride height that the stack gives, m.</param>
public sealed record AxleShims(double WishedM, double PushrodChangeM, double StackM, ImmutableArray<ShimCount> Shims, double AchievedM)
{
    /// <summary>Wished minus achieved change of ride height, m.</summary>
    public double RemainderM => WishedM - AchievedM;
}

/// <summary>Shims for a wished change of the platform (equation E12).</summary>
/// <param name="Axles">Front and rear.</param>
/// <param name="RakeChangeRad">Change of the static rake that the stacks give, rad, nose-down positive.</param>
/// <param name="StaticRakeRad">Static rake afterwards, rad; null when the setup sheet gives no ride heights.</param>
public sealed record ShimPlan(PerAxle<AxleShims> Axles, double RakeChangeRad, double? StaticRakeRad);

/// <summary>Finds the shims for a change of ride height or rake.</summary>
/// <remarks>
/// A pushrod that is longer by s lifts its corner by s / i (equation E12, virtual work). The load at the wheel does not change,
/// so spring, damper and rocker stay where they stand and i is its value at the static position. Both sides of an axle get the
/// same stack, so that roll and warp stay. To first order the rake at speed changes by as much as the static one; the aero load moves with ride height, so
/// measure again.
/// </remarks>
public static class ShimStacks
{
    /// <summary>More than this is a different pushrod and not a stack of shims, m.</summary>
    public const double LargestChangeM = 0.05;

    /// <summary>Thicknesses are held in whole micrometres: finer than any shim is made.</summary>
    private const double GridM = 1e-6;

    /// <summary>The shims for a wish.</summary>
    /// <param name="car">The car; gives ratios, wheelbase, static ride heights and the shims that the workshop holds.</param>
    /// <param name="wish">The wished change.</param>
    /// <exception cref="ArgumentException">The workshop holds no shims, nothing or too much is wished, or a pushrod would change by more than <see cref="LargestChangeM"/>.</exception>
    /// <param name="held">How many shims of each thickness the workshop holds, for all four pushrods together; empty (default) when there are enough of each thickness of the car file. It bounds what can be put in, not what can be taken out.</param>
    public static ShimPlan For(CarDefinition car, ShimWish wish, ImmutableArray<ShimCount> held = default)
    {
        ArgumentNullException.ThrowIfNull(car);
        ArgumentNullException.ThrowIfNull(wish);
        if (car.ShimStepsM.IsEmpty && held.IsDefaultOrEmpty)
        {
            throw new ArgumentException("The car file lists no shims.", nameof(car));
        }

        double wheelbase = car.Geometry.WheelbaseM.Value;
        (double front, double rear) = wish switch
        {
            { FrontRideHeightM: double f, RearRideHeightM: double r, RakeRad: null } => (f, r),
            { FrontRideHeightM: double f, RearRideHeightM: null, RakeRad: double rake } => (f, f + (rake * wheelbase)),
            { FrontRideHeightM: null, RearRideHeightM: double r, RakeRad: double rake } => (r - (rake * wheelbase), r),
            { FrontRideHeightM: double f, RearRideHeightM: null, RakeRad: null } => (f, 0.0),
            { FrontRideHeightM: null, RearRideHeightM: double r, RakeRad: null } => (0.0, r),
            { FrontRideHeightM: null, RearRideHeightM: null, RakeRad: double rake } => (0.0, rake * wheelbase),
            { RakeRad: null } => throw new ArgumentException("Nothing is wished.", nameof(wish)),
            _ => throw new ArgumentException("Front ride height, rear ride height and rake cannot all be chosen: any two give the third.", nameof(wish)),
        };
        PerAxle<AxleShims> axles;
        if (held.IsDefaultOrEmpty)
        {
            axles = new(
                Stack(front, car.Suspension.Front.InstallationRatio, car.ShimStepsM, null),
                Stack(rear, car.Suspension.Rear.InstallationRatio, car.ShimStepsM, null));
        }
        else
        {
            // Front first; the rear gets what is left. Each axle needs every shim twice.
            ImmutableArray<double> steps = [.. held.Select(shim => shim.ThicknessM)];
            int[] pairs = [.. held.Select(shim => shim.Count / 2)];
            AxleShims first = Stack(front, car.Suspension.Front.InstallationRatio, steps, front > 0 ? pairs : null);
            int[] left = [.. held.Select(shim => (shim.Count / 2) - (front > 0 ? first.Shims.Where(s => Math.Abs(s.ThicknessM - shim.ThicknessM) < GridM / 2).Sum(s => s.Count) : 0))];
            axles = new(first, Stack(rear, car.Suspension.Rear.InstallationRatio, steps, rear > 0 ? left : null));
        }

        double rakeChange = (axles.Rear.AchievedM - axles.Front.AchievedM) / wheelbase;
        double? staticRake = car.Setup.RideHeightM is PerAxle<double> heights
            ? ((heights.Rear - heights.Front) / wheelbase) + rakeChange
            : null;
        return new(axles, rakeChange, staticRake);
    }

    private static AxleShims Stack(double wishedM, RatioCurve ratio, ImmutableArray<double> stepsM, int[]? most)
    {
        // A table that does not hold the static position gives NaN, which fails the comparison as well.
        double atStatic = ratio.At(0);
        double exact = wishedM * atStatic;
        if (!(Math.Abs(exact) <= LargestChangeM))
        {
            throw new ArgumentException("A pushrod would change by more than 50 mm, or its ratio is not known at the static position.");
        }

        if (most is not null)
        {
            ImmutableArray<ShimCount> limited = LimitedStack.Nearest((int)Math.Round(Math.Abs(exact) / GridM), [.. stepsM.Select(step => (int)Math.Round(step / GridM))], most, GridM);
            double height = Math.Sign(exact) * limited.Sum(shim => shim.Count * shim.ThicknessM);
            return new(wishedM, exact, height, limited, height / atStatic);
        }

        int[] steps = [.. stepsM.Select(step => (int)Math.Round(step / GridM)).Where(step => step > 0).Distinct().OrderDescending()];
        int wanted = (int)Math.Round(Math.Abs(exact) / GridM);
        ImmutableArray<ShimCount> shims = Nearest(wanted, steps);
        double stack = Math.Sign(exact) * shims.Sum(shim => shim.Count * shim.ThicknessM);
        return new(wishedM, exact, stack, shims, stack / atStatic);
    }

    /// <summary>The stack that comes nearest, of as few shims as possible; between two that are as near, the thinner. Each thickness may be taken any number of times.</summary>
    private static ImmutableArray<ShimCount> Nearest(int wanted, int[] steps)
    {
        // Fewest shims for each thickness up to one thin shim past the wish: coins for an amount, by dynamic programming.
        int most = wanted + steps[^1];
        int[] fewest = new int[most + 1];
        int[] last = new int[most + 1];
        for (int amount = 1; amount <= most; amount++)
        {
            fewest[amount] = int.MaxValue;
            foreach (int step in steps)
            {
                if (step <= amount && fewest[amount - step] < int.MaxValue && fewest[amount - step] + 1 < fewest[amount])
                {
                    fewest[amount] = fewest[amount - step] + 1;
                    last[amount] = step;
                }
            }
        }

        int best = 0;
        for (int amount = 1; amount <= most; amount++)
        {
            if (fewest[amount] < int.MaxValue && Math.Abs(amount - wanted) < Math.Abs(best - wanted))
            {
                best = amount;
            }
        }

        SortedDictionary<int, int> counts = [];
        for (int rest = best; rest > 0; rest -= last[rest])
        {
            counts[last[rest]] = counts.GetValueOrDefault(last[rest]) + 1;
        }

        return [.. counts.Reverse().Select(pair => new ShimCount(pair.Key * GridM, pair.Value))];
    }
}
