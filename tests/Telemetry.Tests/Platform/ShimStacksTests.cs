using Telemetry.Car;
using Telemetry.Platform;
using Telemetry.Tests.Output;

namespace Telemetry.Tests.Platform;

public class ShimStacksTests
{
    // The sample car: installation ratio 0.8 front and 0.85 rear, wheelbase 3 m, ride heights 30 and 55 mm.
    private static CarDefinition Car(params double[] stepsMm) =>
        SampleCar.Make(new()) with { ShimStepsM = [.. stepsMm.Select(step => step / 1000)] };

    // By hand, E12: 2 mm * 0.8 = 1.6 mm = 1.0 + 0.5 + 0.1.
    [Fact]
    public void A_wished_ride_height_becomes_a_stack_at_the_pushrod()
    {
        AxleShims front = ShimStacks.For(Car(0.1, 0.2, 0.5, 1.0), new(0.002, null, null)).Axles.Front;
        Assert.Equal(0.0016, front.PushrodChangeM, 12);
        Assert.Equal([(1.0, 1), (0.5, 1), (0.1, 1)], front.Shims.Select(shim => (Math.Round(shim.ThicknessM * 1000, 6), shim.Count)));
        Assert.Equal(0.002, front.AchievedM, 12);
        Assert.Equal(0, front.RemainderM, 12);
    }

    // By hand: 1 mm * 0.85 = 0.85 mm; with shims of 0.2 mm the nearest is 0.8 mm, which lifts 0.8 / 0.85 = 0.941 mm.
    [Fact]
    public void What_the_shims_cannot_reach_is_the_remainder()
    {
        AxleShims rear = ShimStacks.For(Car(0.2), new(null, 0.001, null)).Axles.Rear;
        Assert.Equal(0.0008, rear.StackM, 12);
        Assert.Equal(0.0008 / 0.85, rear.AchievedM, 12);
        Assert.Equal(0.001 - (0.0008 / 0.85), rear.RemainderM, 12);
    }

    [Fact]
    public void Lowering_takes_shims_out()
    {
        AxleShims front = ShimStacks.For(Car(0.4), new(-0.001, null, null)).Axles.Front;
        Assert.Equal(-0.0008, front.StackM, 12);
        Assert.Equal(2, front.Shims.Single().Count);
    }

    // By hand: 0.1 deg over 3 m lifts the rear by 3 m * 0.00174533 = 5.236 mm.
    [Fact]
    public void A_wished_rake_alone_moves_the_rear()
    {
        ShimPlan plan = ShimStacks.For(Car(0.001), new(null, null, 0.1 * Math.PI / 180));
        Assert.Equal(0, plan.Axles.Front.StackM);
        Assert.Equal(5.236e-3, plan.Axles.Rear.WishedM, 6);
        Assert.Equal(0.1 * Math.PI / 180, plan.RakeChangeRad, 6);
        Assert.Equal((0.025 / 3) + (0.1 * Math.PI / 180), plan.StaticRakeRad!.Value, 6);
    }

    [Fact]
    public void Rake_with_a_ride_height_moves_the_other_axle()
    {
        ShimPlan byFront = ShimStacks.For(Car(0.01), new(0.001, null, 0.001));
        Assert.Equal(0.001 + (0.001 * 3), byFront.Axles.Rear.WishedM, 12);
        ShimPlan byRear = ShimStacks.For(Car(0.01), new(null, 0.001, 0.001));
        Assert.Equal(0.001 - (0.001 * 3), byRear.Axles.Front.WishedM, 12);
    }

    // 0.6 of shims 0.5 and 0.3: greedy would stop at 0.5; two of 0.3 hit it.
    [Fact]
    public void The_nearest_stack_is_found_where_the_thickest_first_would_miss_it()
    {
        AxleShims front = ShimStacks.For(Car(0.3, 0.5), new(0.00075, null, null)).Axles.Front;
        Assert.Equal(0.0006, front.StackM, 12);
    }

    [Fact]
    public void Between_two_stacks_as_near_the_thinner_is_taken() =>
        Assert.Equal(0.0004, ShimStacks.For(Car(0.4), new(0.00075, null, null)).Axles.Front.StackM, 12);

    [Fact]
    public void A_wish_below_half_a_shim_gives_none() =>
        Assert.Empty(ShimStacks.For(Car(0.5), new(0.0003, null, null)).Axles.Front.Shims);

    [Fact]
    public void Impossible_wishes_are_refused()
    {
        Assert.Throws<ArgumentException>(() => ShimStacks.For(Car(), new(0.001, null, null)));
        Assert.Throws<ArgumentException>(() => ShimStacks.For(Car(0.1), new(null, null, null)));
        Assert.Throws<ArgumentException>(() => ShimStacks.For(Car(0.1), new(0.001, 0.001, 0.001)));
        Assert.Throws<ArgumentException>(() => ShimStacks.For(Car(0.1), new(0.2, null, null)));
        Assert.Throws<ArgumentException>(() => ShimStacks.For(Car(0.1), new(double.NaN, null, null)));
    }
}
