using System.Collections.Immutable;
using Telemetry.Car;
using Telemetry.Logs;
using Telemetry.Output;
using Telemetry.Review;

namespace Telemetry.Tests.Review;

/// <summary>A run does not change with the way in which its log is written down. What is compared with what is the check; no number stands here.</summary>
public class SameRunWrittenOtherwiseTests
{
    private static readonly CarDefinition Car = CarFile.Read(Path.Combine(Repository.Root, "sample-runs", "baseline", "car.toml"));

    private static readonly Lazy<RunReview> Plain = new(() => Review(SampleRunText.Write(), Car));

    [Fact]
    public void The_plain_text_has_every_answer() => Assert.NotNull(Plain.Value.Aero.AtReference);

    [Fact]
    public void Columns_in_another_order_give_the_same_summary() => Same(SampleRunText.Write(reversed: true), Car);

    [Fact]
    public void A_decimal_comma_gives_the_same_summary() => Same(SampleRunText.Write(separator: ';'), Car);

    [Fact]
    public void A_cell_that_counts_the_other_way_and_says_so_gives_the_same_summary() => Same(
        SampleRunText.Write(change: channel => channel.Name == "Pushrod load FL" ? (channel.Unit, -1) : null),
        Changed(mapping => mapping.Role == ChannelRole.PushrodLoadFL ? mapping with { Sign = -1 } : mapping));

    [Theory]
    [InlineData("Pushrod load", "kN", 1e-3)]
    [InlineData("Pushrod load", "lbf", 1 / 4.4482216152605)]
    [InlineData("Speed", "m/s", 1 / 3.6)]
    [InlineData("Acceleration", "m/s2", 9.80665)]
    public void Another_unit_gives_the_same_answers_to_rounding(string names, string unit, double factor)
    {
        RunReview other = Review(
            SampleRunText.Write(change: channel => channel.Name.StartsWith(names, StringComparison.Ordinal) ? (unit, factor) : null),
            Changed(mapping => mapping.Name.StartsWith(names, StringComparison.Ordinal) ? mapping with { Unit = unit } : mapping));
        AssertClose(other, 1e-6);
    }

    [Fact]
    public void A_log_that_begins_at_another_time_gives_the_same_answers_to_rounding() => AssertClose(Review(SampleRunText.Write(startS: 1000), Car), 1e-6);

    private static CarDefinition Changed(Func<ChannelMapping, ChannelMapping> change) => Car with { Channels = [.. Car.Channels.Select(change)] };

    private static RunReview Review(byte[] text, CarDefinition car) =>
        RunAnalysis.Review(LogReader.Read(text, "run.csv", car.Log), car, ReviewOptions.Default);

    private static void Same(byte[] text, CarDefinition car) =>
        Assert.Equal(SummaryFile.ToJson(SummaryFile.From(Plain.Value)), SummaryFile.ToJson(SummaryFile.From(Review(text, car))));

    private static void AssertClose(RunReview other, double share)
    {
        ImmutableArray<(string Name, double Value)> expected = Numbers(Plain.Value);
        ImmutableArray<(string Name, double Value)> actual = Numbers(other);
        Assert.Equal(expected.Select(number => number.Name), actual.Select(number => number.Name));
        foreach (((string name, double wanted), (_, double got)) in expected.Zip(actual))
        {
            Assert.True(Math.Abs(got - wanted) <= share * Math.Abs(wanted), FormattableString.Invariant($"{name}: {got} where the plain text gave {wanted}"));
        }
    }

    private static ImmutableArray<(string Name, double Value)> Numbers(RunReview review) =>
    [
        .. review.Aero.AtReference is { } at ? new[] { ("front", at.FrontLoadN.Value), ("rear", at.RearLoadN.Value) } : [],
        .. review.Kerbs.Strikes.Select((strike, i) => ($"strike {i} {strike.Corner} lap {strike.Lap}", strike.PeakLoadN)),
        .. review.Fatigue.Components.Select(part => ($"{part.Component.Id} damage", part.DamageRun ?? double.NaN)),
    ];
}
