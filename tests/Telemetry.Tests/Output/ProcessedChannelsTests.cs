using Telemetry.Logs;
using Telemetry.Output;
using Telemetry.Review;

namespace Telemetry.Tests.Output;

public class ProcessedChannelsTests
{
    [Fact]
    public void Channels_carry_the_units_of_the_trade()
    {
        RunReview review = SampleReviews.Full;
        RunLog log = ProcessedChannels.From(review);
        Assert.Equal("N", log.Find("pushrod load FL")!.Unit);
        Assert.Equal("mm", log.Find("wheel travel RR")!.Unit);
        Assert.Equal("deg", log.Find("roll front")!.Unit);
        Assert.Equal("km/h", log.Find("speed")!.Unit);
        const int At = 20_000;
        Assert.Equal(review.Wheels.WheelTravelM.RearRight![At] * 1000, log.Find("wheel travel RR")!.Samples[At], 5);
        Assert.Equal(review.Modes.Displacement!.RollFrontRad[At] * 180 / Math.PI, log.Find("roll front")!.Samples[At], 6);
        Assert.Equal(review.Run.Laps.At(At).Number, log.Find("lap")!.Samples[At]);
    }

    [Fact]
    public void What_the_log_cannot_give_is_left_out()
    {
        RunLog log = ProcessedChannels.From(SampleReviews.Make(new() { HasDampers = false, Laps = 1 }));
        Assert.Null(log.Find("wheel travel FL"));
        Assert.Null(log.Find("heave"));
        Assert.Null(log.Find("contact-patch load FL"));
        Assert.NotNull(log.Find("wheel load FL"));
    }

    [Fact]
    public void Written_without_a_copy_and_in_single_precision_they_read_back_as_they_are()
    {
        RunReview review = SampleReviews.Make(new() { Laps = 1 });
        RunLog log = ProcessedChannels.From(review);
        using MemoryStream written = new();
        ProcessedChannels.Write(review, written);
        RunLog read = LogReader.Read(written.ToArray(), "channels.parquet", LogOptions.Default);
        Assert.Equal(log.Channels.Select(channel => (channel.Name, channel.Unit)), read.Channels.Select(channel => (channel.Name, channel.Unit)));
        Assert.All(log.Channels, channel => Assert.Equal(channel.Samples.AsEnumerable(), read.Find(channel.Name)!.Samples));
    }

    [Fact]
    public void Names_are_unique()
    {
        RunLog log = ProcessedChannels.From(SampleReviews.Full);
        Assert.Equal(log.Channels.Length, log.Channels.Select(channel => channel.Name).Distinct().Count());
    }

    [Fact]
    public void The_file_reads_back_with_units_and_time()
    {
        RunLog log = ProcessedChannels.From(SampleReviews.Make(new() { Laps = 1 }));
        using MemoryStream stream = new();
        ParquetLogWriter.Write(log, stream);
        RunLog back = LogReader.Read(stream.ToArray(), "channels.parquet", LogOptions.Default);
        Assert.Equal(log.Channels.Select(channel => (channel.Name, channel.Unit)), back.Channels.Select(channel => (channel.Name, channel.Unit)));
        Assert.All(log.Channels.Zip(back.Channels), pair => Assert.True(pair.First.Samples.SequenceEqual(pair.Second.Samples)));
        Assert.Equal(log.Channels[0].Time, back.Channels[0].Time);
    }
}
