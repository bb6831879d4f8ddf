using Telemetry.Output;
using Telemetry.Review;

namespace Telemetry.Tests.Output;

public class RunComparisonTests
{
    private static Summary Base { get; } = SummaryFile.From(SampleReviews.Full);

    private static Summary WithRear(double value, double half) => Base with
    {
        Aero = Base.Aero with { Rear = new(new(value, value - half, value + half), Base.Aero.Rear.LoadN) },
    };

    private static ComparedQuantity Rear(Summary a, Summary b) => RunComparison.Between(a, b).Quantities.Single(q => q.Name == "Rear lift area");

    // By hand: 2.10 - 1.93 = 0.17; half-widths 0.03 and 0.04 add as squares to 0.05.
    [Fact]
    public void Half_widths_of_two_runs_add_as_squares()
    {
        ComparedQuantity rear = Rear(WithRear(1.93, 0.03), WithRear(2.10, 0.04));
        Assert.Equal(0.17, rear.Difference.Value, 10);
        Assert.Equal(0.12, rear.Difference.Low95, 10);
        Assert.Equal(0.22, rear.Difference.High95, 10);
        Assert.True(rear.IsReal);
        Assert.StartsWith("Rear lift area rose by 0.170 (0.120 to 0.220) m2: a real change", rear.Statement, StringComparison.Ordinal);
    }

    [Fact]
    public void A_fall_is_told_as_a_positive_number() => Assert.StartsWith(
        "Rear lift area fell by 0.170 (0.120 to 0.220) m2", Rear(WithRear(2.10, 0.04), WithRear(1.93, 0.03)).Statement, StringComparison.Ordinal);

    [Fact]
    public void A_difference_within_its_interval_is_not_called_real()
    {
        ComparedQuantity rear = Rear(WithRear(1.93, 0.03), WithRear(1.96, 0.04));
        Assert.False(rear.IsReal);
        Assert.Contains("no change is shown", rear.Statement, StringComparison.Ordinal);
    }

    [Fact]
    public void A_run_against_itself_shows_no_change() =>
        Assert.All(RunComparison.Between(Base, Base).Quantities, quantity => Assert.False(quantity.IsReal));

    // The curve of the sample has one lift area at all speeds, so the value between its points is known.
    [Fact]
    public void Runs_with_different_reference_speeds_meet_at_the_first_ones()
    {
        Summary other = Base with { Aero = Base.Aero with { ReferenceSpeedKmh = 210 } };
        RunComparison comparison = RunComparison.Between(Base, other);
        Assert.Equal(250, comparison.SpeedKmh);
        Assert.Equal(0, comparison.Quantities.Single(q => q.Name == "Total lift area").Difference.Value, 5);
    }

    [Fact]
    public void Runs_without_a_common_speed_are_not_compared()
    {
        Summary other = Base with { Aero = Base.Aero with { ReferenceSpeedKmh = 320, Curve = [.. Base.Aero.Curve.Select(at => at with { SpeedKmh = at.SpeedKmh + 200 })] } };
        RunComparison comparison = RunComparison.Between(Base, other);
        Assert.NotNull(comparison.WithheldBecause);
        Assert.Empty(comparison.Quantities);
    }

    [Fact]
    public void A_run_without_aero_load_is_not_compared() =>
        Assert.Contains("Two straight passes", RunComparison.Between(Base, SummaryFile.From(SampleReviews.Withheld(new()))).WithheldBecause!, StringComparison.Ordinal);

    [Fact]
    public void Cars_that_turn_load_differently_are_refused_by_field()
    {
        Summary other = Base with { Car = Base.Car with { Basis = [.. Base.Car.Basis.Select(f => f.Field == "installation ratio rear" ? f with { Value = "0.9" } : f)] } };
        InputError error = Assert.Throws<InputError>(() => RunComparison.Between(Base, other));
        Assert.Contains("installation ratio rear", error.Message, StringComparison.Ordinal);
    }

    [Fact]
    public void A_different_setup_is_told_beside_the_answer()
    {
        Summary other = Base with { Car = Base.Car with { Setup = [.. Base.Car.Setup.Select(f => f.Field == "static ride height rear" ? f with { Value = "0.058 m" } : f)] } };
        Assert.Contains(RunComparison.Between(Base, other).Notes, note => note.Contains("static ride height rear, 0.055 m against 0.058 m", StringComparison.Ordinal));
    }

    [Fact]
    public void Loads_are_compared_in_air_of_one_density()
    {
        RunReview thin = SampleReviews.Full with { Aero = SampleReviews.Full.Aero with { Air = new(1.05, 0.004, "log", false) } };
        // The lift areas are the same, so the loads at one density are; those of the day would differ by 12.5 %.
        Assert.Equal(0, RunComparison.Between(Base, SummaryFile.From(thin)).Quantities[0].Difference.Value, 6);
    }
}
