using System.Collections.Immutable;
using Telemetry.Comparison;
using Telemetry.Health;
using Telemetry.Output.Compared;

namespace Telemetry.Tests.Comparison;

public class SetupComparisonTests
{
    private static ComparisonOptions Named(string labels) => new() { Setups = [.. labels.Split(',')] };

    private static QuantityDifference Total(ComparisonResult result, int difference = 0) =>
        result.Differences[difference].Quantities.Single(q => q.Kind == ComparedKind.TotalLiftArea);

    private static ModelWorld Exact { get; } = new() { WindowShare = 1e-5, ZeroUncertaintyN = 0, WeatherIsLogged = true };

    [Fact]
    public void A_drift_from_run_to_run_is_told_from_the_change_when_the_baseline_is_repeated()
    {
        // Both lift areas fall by 1 % a run and the change adds 2 %: A 0, B -1 + 2, A -2 %.
        ComparisonResult result = SetupComparison.From(Exact.Draw(new Random(11), 0, 0.01, -0.02), Named("A,B,A"));
        Assert.True(result.DriftIsRemoved);
        Assert.Equal(2.0, Total(result).Percent!.Value, 0.35);
        Assert.Equal(-1.0, 100 * Total(result).DriftPerRun!.Value / Total(result).Baseline, 0.35);
    }

    [Fact]
    public void With_A_B_the_sheet_says_that_a_drift_cannot_be_told()
    {
        ComparisonResult result = SetupComparison.From(Exact.Draw(new Random(12), 0, 0.01));
        Assert.False(result.DriftIsRemoved);
        Assert.Contains(result.Method, line => line.Contains("Run the first setup again", StringComparison.Ordinal));
        Assert.Null(Total(result).DriftPerRun);
    }

    [Fact]
    public void A_shift_of_the_wind_is_found_and_does_not_pass_for_a_gain()
    {
        ImmutableArray<RunEvidence> calm = new ModelWorld { GustMps = 0.3 }.Draw(new Random(13), 0, 0);
        ImmutableArray<RunEvidence> windy = new ModelWorld { GustMps = 0.3, WindMps = 5 }.Draw(new Random(14), 0);
        ComparisonResult result = SetupComparison.From([calm[0], windy[0] with { Name = "run 2" }]);
        Assert.InRange(result.Runs[1].WindShift!.SpeedMps, 4, 6);
        Assert.Contains(result.Flags, flag => flag.Contains("The wind shifted by", StringComparison.Ordinal));
        Assert.False(Total(result).IsReal);

        // Without a shift nobody is alarmed, and what is found is below 1 m/s.
        ComparisonResult still = SetupComparison.From(calm);
        Assert.DoesNotContain(still.Flags, flag => flag.Contains("wind", StringComparison.OrdinalIgnoreCase));
        Assert.InRange(still.Runs[1].WindShift!.SpeedMps, 0, 1);
    }

    // Masses, gains and the centre of gravity cancel, so a car whose centre of gravity is doubtful by any amount can still be compared.
    [Fact]
    public void What_all_runs_share_cancels_and_what_each_draws_anew_does_not()
    {
        ImmutableArray<DifferenceLine> budget = Total(SetupComparison.From(new ModelWorld().Draw(new Random(15), 0, 0.015))).Budget;
        Assert.Equal(1, budget.First(line => line.Name == "gain FL").Correlation);
        Assert.True(budget.First(line => line.Name == "gain FL").StandardUncertainty < 1e-6);
        DifferenceLine zero = budget.First(line => line.Name == "zero FL");
        Assert.Equal(0, zero.Correlation);

        // By hand: each run's zero is 15 N, so sqrt(2) 15 N over q = 1.19 75^2 / 2 = 3346.9 Pa. The weights of a run need not sum to exactly 1 while the wind's prior is at work.
        Assert.Equal(Math.Sqrt(2) * 15 / (1.19 * 75 * 75 / 2), zero.StandardUncertainty, 1e-4);
    }

    [Fact]
    public void One_log_given_twice_is_refused()
    {
        RunEvidence run = new ModelWorld().Draw(new Random(16), 0)[0];
        InputError error = Assert.Throws<InputError>(() => SetupComparison.From([run, run with { Name = "copy" }]));
        Assert.Contains("given twice", error.Message, StringComparison.Ordinal);
    }

    [Fact]
    public void Another_car_file_is_refused_by_field()
    {
        ImmutableArray<RunEvidence> runs = new ModelWorld().Draw(new Random(17), 0, 0);
        InputError error = Assert.Throws<InputError>(() => SetupComparison.From([runs[0], runs[1] with { Basis = [new("wheelbase", "3.1 m")] }]));
        Assert.Contains("wheelbase", error.Message, StringComparison.Ordinal);
    }

    [Fact]
    public void Doubtful_zeros_and_logs_are_flagged_and_withheld_loads_stop_the_comparison()
    {
        ImmutableArray<RunEvidence> runs = new ModelWorld().Draw(new Random(18), 0, 0);
        RunEvidence doubtful = runs[1] with { Verdict = HealthVerdict.Doubtful, Findings = 1, ZeroDoubts = ["load FL: The zero moved by 80 N."] };
        ComparisonResult flagged = SetupComparison.From([runs[0], doubtful]);
        Assert.Contains(flagged.Flags, flag => flag.Contains("a zero does not cancel", StringComparison.Ordinal));
        Assert.NotEmpty(flagged.Differences);
        ComparisonResult withheld = SetupComparison.From([runs[0], runs[1] with { WithheldBecause = "Two straight passes are not enough." }]);
        Assert.Empty(withheld.Differences);
        Assert.Contains("Two straight passes", withheld.WithheldBecause!, StringComparison.Ordinal);
    }

    [Fact]
    public void Other_tyres_are_flagged()
    {
        ImmutableArray<RunEvidence> runs = new ModelWorld().Draw(new Random(19), 0, 0);
        RunEvidence first = runs[0] with { Setup = [.. runs[0].Setup, new("tyre rate front", "250000 N/m")] };
        RunEvidence second = runs[1] with { Setup = [.. runs[1].Setup, new("tyre rate front", "270000 N/m")] };
        Assert.Contains(SetupComparison.From([first, second]).Flags, flag => flag.Contains("other tyres", StringComparison.Ordinal));
    }

    [Fact]
    public void Three_runs_of_one_car_file_need_their_setups_named()
    {
        ImmutableArray<RunEvidence> runs = new ModelWorld().Draw(new Random(20), 0, 0, 0);
        Assert.Contains("--setups", Assert.Throws<InputError>(() => SetupComparison.From(runs)).Message, StringComparison.Ordinal);
        Assert.Throws<InputError>(() => SetupComparison.From(runs, Named("A,B")));
        Assert.Throws<InputError>(() => SetupComparison.From(runs, Named("A,A,A")));
    }

    [Fact]
    public void Setups_are_told_by_the_car_file_where_each_run_has_its_own()
    {
        ImmutableArray<RunEvidence> runs = new ModelWorld().Draw(new Random(21), 0, 0.01, 0);
        RunEvidence Raised(int run, string height) => runs[run] with { Setup = [new("static ride height front", height)] };
        Assert.Equal(["A", "B", "C"], SetupComparison.From([runs[0], Raised(1, "0.032 m"), Raised(2, "0.034 m")]).Runs.Select(run => run.Setup));
    }

    // A wing is in no field of the car file. Labels by the file alone would call the second run A too, and take its gain out as drift.
    [Fact]
    public void A_drift_is_never_taken_out_on_labels_that_nobody_gave()
    {
        ImmutableArray<RunEvidence> runs = new ModelWorld().Draw(new Random(21), 0, 0.01, 0);
        RunEvidence raised = runs[2] with { Setup = [new("static ride height front", "0.032 m")] };
        InputError refused = Assert.Throws<InputError>(() => SetupComparison.From([runs[0], runs[1], raised]));
        Assert.Contains("A,A,B if", refused.Message, StringComparison.Ordinal);
        Assert.Contains("A,B,C if", refused.Message, StringComparison.Ordinal);

        // Labels that a person gave are believed, and what speaks against them is told.
        Assert.Contains(SetupComparison.From([runs[0], runs[1], raised], Named("A,B,A")).Flags, flag => flag.Contains("both called A", StringComparison.Ordinal) && flag.Contains("static ride height front", StringComparison.Ordinal));
        Assert.DoesNotContain(SetupComparison.From([runs[0], raised, runs[1]], Named("A,B,A")).Flags, flag => flag.Contains("both called", StringComparison.Ordinal));

        // A heavier tank makes no other setup.
        RunEvidence fuelled = runs[2] with { Setup = [.. runs[2].Setup, new("fuel at start", "40 kg")] };
        Assert.Contains("A,B,A", Assert.Throws<InputError>(() => SetupComparison.From([runs[0], raised with { Name = "raised", Passes = runs[1].Passes }, fuelled])).Message, StringComparison.Ordinal);
    }

    [Fact]
    public void A_difference_that_the_runs_by_themselves_exclude_is_not_called_real()
    {
        // Truth: the second run has 4 % more load, the third is as the first. Called A,A,B the gain goes out as drift, and the third seems to lose 8 %.
        ImmutableArray<RunEvidence> runs = Exact.Draw(new Random(26), 0, 0.04, 0);
        ComparisonResult wrong = SetupComparison.From(runs, Named("A,A,B"));
        QuantityDifference total = Total(wrong);
        Assert.Equal(-8, total.Percent!.Value, 1.0);
        Assert.Equal(-2, 100 * total.ByRunsAlone!.Value / total.Baseline, 0.6);
        Assert.True(total.PValue < 0.001);
        Assert.True(total.IsContradicted);
        Assert.DoesNotContain(wrong.Differences[0].Quantities, quantity => quantity.IsReal);
        Assert.All(wrong.Differences[0].Quantities, quantity => Assert.True(quantity.IsInDoubt));
        Assert.Contains("labels of --setups", wrong.Flags[0], StringComparison.Ordinal);
        Assert.Contains("contradicted", string.Join('\n', ComparisonSheet.From(wrong).Select(line => line.Text)), StringComparison.Ordinal);

        // Called by its name it is found, and both ways of reading agree.
        ComparisonResult right = SetupComparison.From(runs, Named("A,B,A"));
        Assert.True(Total(right).IsReal);
        Assert.Equal(4, Total(right).Percent!.Value, 0.5);
        Assert.DoesNotContain(right.Differences[0].Quantities, quantity => quantity.IsContradicted);
        Assert.DoesNotContain(right.Flags, flag => flag.Contains("contradict", StringComparison.Ordinal));
    }

    [Fact]
    public void Several_setups_are_held_against_the_first_with_adjusted_probabilities()
    {
        ComparisonResult result = SetupComparison.From(new ModelWorld().Draw(new Random(22), 0, 0.02, 0.0), Named("A,B,C"));
        Assert.Equal(["B", "C"], result.Differences.Select(d => d.Setup));
        QuantityDifference b = Total(result, 0);
        Assert.Equal(Math.Min(1, 2 * b.PValue), b.AdjustedPValue, 12);
        Assert.Contains(result.Method, line => line.Contains("Holm", StringComparison.Ordinal));
    }

    [Fact]
    public void Runs_in_the_other_order_give_the_opposite_difference()
    {
        ImmutableArray<RunEvidence> runs = new ModelWorld { GustMps = 0.5 }.Draw(new Random(23), 0, 0.015);
        QuantityDifference forth = Total(SetupComparison.From([runs[0], runs[1]]));
        QuantityDifference back = Total(SetupComparison.From([runs[1], runs[0]]));

        // Headings scatter by a hundredth of a radian, and those of the second run carry the wind's columns: that is all that differs.
        Assert.Equal(forth.Difference.Value, -back.Difference.Value, 5e-4);
        Assert.Equal(forth.StandardUncertainty, back.StandardUncertainty, 5e-4);
    }

    [Fact]
    public void A_gain_that_is_too_small_to_matter_is_real_and_unlikely_to_matter()
    {
        ComparisonResult result = SetupComparison.From(Exact.Draw(new Random(24), 0, 0.01), new() { SmallestShare = 0.03 });
        Assert.True(Total(result).ProbabilityOfSign > 0.99);
        Assert.True(Total(result).ProbabilityThatItMatters < 0.01);
    }

    [Fact]
    public void Headings_from_an_arbitrary_zero_are_turned_by_the_places_they_share()
    {
        ImmutableArray<RunEvidence> runs = new ModelWorld { WindMps = 3, GustMps = 0.3 }.Draw(new Random(25), 0, 0.015);
        RunEvidence turned = runs[1] with
        {
            HeadingIsTrue = false,
            Passes = [.. runs[1].Passes.Select(pass => pass with { HeadingRad = pass.HeadingRad + 1.2 })],
        };
        QuantityDifference straight = Total(SetupComparison.From(runs));
        QuantityDifference aligned = Total(SetupComparison.From([runs[0] with { HeadingIsTrue = false }, turned]));
        Assert.Equal(straight.Difference.Value, aligned.Difference.Value, 2e-3);
    }

    [Fact]
    public void Drag_and_ride_height_say_why_they_are_missing() =>
        Assert.Equal(
            [QuantityNames.Of(ComparedKind.FrontRideHeight), QuantityNames.Of(ComparedKind.RearRideHeight), QuantityNames.Of(ComparedKind.DragArea)],
            SetupComparison.From(new ModelWorld().Draw(new Random(26), 0, 0)).Differences[0].Withheld.Select(missing => missing.Name));

    // By hand: -6 m2/m at the front and +2 at the rear for the front lift area; the front 2 mm up and the rear 1 mm: -0.012 + 0.002 = -0.010 m2.
    [Fact]
    public void The_part_that_ride_height_makes_is_told_beside_the_difference()
    {
        ImmutableArray<RunEvidence> runs = new ModelWorld { WindowShare = 1e-5 }.Draw(new Random(27), 0, 0);
        PassMean At(double height) => new(height, 75 * 75, 1e5, 0, 0, 10);
        RunEvidence Standing(RunEvidence run, double front, double rear) => run with
        {
            MeasuresRideHeight = true,
            Sensitivity = new(new(-9, 1), new(-1, 1), new(-6, 0.5), new(2, 0.5)),
            Passes = [.. run.Passes.Select(pass => pass with { FrontHeight = At(front + (1e-6 * pass.Number)), RearHeight = At(rear + (1e-6 * pass.Number)) })],
        };
        SetupDifference difference = SetupComparison.From([Standing(runs[0], 0.014, 0.030), Standing(runs[1], 0.016, 0.031)]).Differences[0];
        Estimate part = difference.Quantities.Single(q => q.Kind == ComparedKind.FrontLiftArea).ByRideHeight!;
        Assert.Equal(-0.010, part.Value, 1e-5);
        Assert.True(part.HalfWidth > 0.002);
        Assert.Equal(-0.019, difference.Quantities.Single(q => q.Kind == ComparedKind.TotalLiftArea).ByRideHeight!.Value, 1e-5);
        Assert.Null(difference.Quantities.Single(q => q.Kind == ComparedKind.RearLiftArea).ByRideHeight);
    }
}
