using System.Collections.Immutable;
using Telemetry.Car;
using Telemetry.Fatigue;
using Telemetry.Kerbs;
using Telemetry.Logs;
using Telemetry.Runs;
using Telemetry.Tests.Output;

namespace Telemetry.Tests.Fatigue;

/// <summary>Where damage is charged to: phases of driving and pieces of the lap.</summary>
public class ChargedPlacesTests
{
    private static readonly TimeBase Time = TimeBase.Even(0, 0.01, 1_200);

    /// <summary>Brakes from 2 to 4 s, corners from 3 to 6 s with 8 m/s2, then straight; 40 m/s.</summary>
    private static Run Driven(double lateral = 8, bool hasLateral = true) => RunAssembly.From(
        TestCars.Log(
        [
            .. Corners.All.Select(corner => TestCars.Channel($"P {corner.Code()}", "N", Time, _ => 1000)),
            TestCars.Channel("v", "m/s", Time, _ => 40),
            TestCars.Channel("ax", "m/s2", Time, t => t is >= 2 and < 4 ? -9 : 0),
            .. hasLateral ? [TestCars.Channel("ay", "m/s2", Time, t => t is >= 3 and < 6 ? lateral : 0)] : Array.Empty<LoggedChannel>(),
            TestCars.Channel("lap", "", Time, t => 1 + Math.Floor(t / 6)),
            TestCars.Channel("s", "m", Time, t => 40 * (t % 6)),
        ]),
        LoadRuns.CarWith(LoadRuns.Pushrod()));

    private static readonly KerbResult NoStrikes = SampleReviews.Full.Kerbs with { Strikes = [], Kerbs = [] };

    private static DrivingPhase At(ImmutableArray<ChargeSpan> spans, int sample) => (DrivingPhase)spans.First(span => sample >= span.First && sample < span.End).Key;

    [Theory]
    [InlineData(100, DrivingPhase.Straight)]
    [InlineData(250, DrivingPhase.Braking)]
    [InlineData(350, DrivingPhase.Braking)]
    [InlineData(500, DrivingPhase.Corner)]
    [InlineData(700, DrivingPhase.Straight)]
    [InlineData(1_199, DrivingPhase.Straight)]
    public void Each_sample_has_the_phase_that_goes_first(int sample, DrivingPhase phase) =>
        Assert.Equal(phase, At(DrivingPhases.Of(Driven(), NoStrikes), sample));

    [Fact]
    public void The_phases_cover_the_run_without_a_gap_in_order()
    {
        ImmutableArray<ChargeSpan> spans = DrivingPhases.Of(Driven(), NoStrikes);
        Assert.Equal(0, spans[0].First);
        Assert.Equal(Time.Count, spans[^1].End);
        Assert.All(Enumerable.Range(1, spans.Length - 1), i => Assert.Equal(spans[i - 1].End, spans[i].First));
    }

    [Fact]
    public void A_lateral_acceleration_of_a_crowned_straight_is_no_corner() =>
        Assert.DoesNotContain(DrivingPhases.Of(Driven(lateral: 2.9), NoStrikes), span => span.Key == (int)DrivingPhase.Corner);

    [Fact]
    public void Without_a_signal_for_corners_there_are_no_phases() => Assert.Empty(DrivingPhases.Of(Driven(hasLateral: false), NoStrikes));

    [Fact]
    public void A_strike_takes_its_samples_from_every_other_phase()
    {
        // By hand: 0.05 s long, peak at 2.5 s: from one length before it to three after it, 2.45 to 2.65 s.
        KerbStrike strike = SampleReviews.Full.Kerbs.Strikes[0] with { TimeS = 2.5, DurationS = 0.05 };
        ImmutableArray<ChargeSpan> spans = DrivingPhases.Of(Driven(), NoStrikes with { Strikes = [strike] });
        Assert.Equal(DrivingPhase.Braking, At(spans, 244));
        Assert.Equal(DrivingPhase.Kerb, At(spans, 245));
        Assert.Equal(DrivingPhase.Kerb, At(spans, 265));
        Assert.Equal(DrivingPhase.Braking, At(spans, 266));
    }

    [Fact]
    public void Pieces_of_the_lap_come_back_on_every_lap()
    {
        // By hand: 40 m/s and pieces of 100 m: piece 0 ends at 2.5 s, 1 at 5 s, 2 at 6 s where the lap of 240 m ends; then the same again.
        ImmutableArray<ChargeSpan> spans = LapPlaces.Of(Driven(), 100);
        Assert.Equal([new ChargeSpan(0, 250, 0), new(250, 500, 1), new(500, 600, 2), new(600, 850, 0), new(850, 1_100, 1), new(1_100, 1_200, 2)], spans);
    }

    [Fact]
    public void A_piece_without_length_is_refused_and_samples_without_a_place_lie_in_none()
    {
        Run run = Driven();
        Assert.Throws<ArgumentOutOfRangeException>(() => LapPlaces.Of(run, 0));
        Assert.Throws<ArgumentOutOfRangeException>(() => LapPlaces.Of(run, double.NaN));
        Assert.Empty(LapPlaces.Of(run with { LapDistanceM = [] }, 100));
        SampleSource hole = [.. run.LapDistanceM.Select((d, i) => i is >= 100 and < 200 ? double.NaN : d)];
        Assert.Equal([new ChargeSpan(0, 100, 0), new(200, 250, 0)], LapPlaces.Of(run with { LapDistanceM = hole }, 100).Take(2));
    }
}
