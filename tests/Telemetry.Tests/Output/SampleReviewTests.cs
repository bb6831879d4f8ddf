using Telemetry.Car;
using Telemetry.Review;

namespace Telemetry.Tests.Output;

/// <summary>The synthetic review keeps the promises of the records that it fills.</summary>
public class SampleReviewTests
{
    [Fact]
    public void Laps_cover_every_sample_once_and_arrays_fit_the_clock()
    {
        RunReview review = SampleReviews.Full;
        Assert.Equal(4, review.Run.Laps.Laps.Length);
        int next = 0;
        foreach (Telemetry.Runs.Lap lap in review.Run.Laps.Laps)
        {
            Assert.Equal(next, lap.StartIndex);
            next = lap.EndIndex;
        }

        Assert.Equal(review.Run.Count, next);
        Assert.Equal(review.Run.Count, review.Modes.Load.HeaveN.Length);
        Assert.Equal(review.Run.Count, review.Run.LapDistanceM.Length);
    }

    [Fact]
    public void Numbers_stay_in_what_a_light_single_seater_shows()
    {
        RunReview review = SampleReviews.Full;
        Assert.InRange(review.Run.OnClock(ChannelRole.Speed).ToArray().Max(), 65, 85);
        Assert.InRange(review.Run.Laps.Laps[^1].DurationS, 40, 65);
        Assert.InRange(review.Kerbs.Strikes.Max(s => s.PeakLoadN), 20_000, 32_000);
        Assert.Contains(review.Kerbs.Strikes, s => s.ExceedsLimit);
        Assert.Contains(review.Kerbs.Strikes, s => !s.ExceedsLimit);
    }
}
