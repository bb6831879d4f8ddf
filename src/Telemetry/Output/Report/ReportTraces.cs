using System.Collections.Immutable;
using Telemetry.Car;
using Telemetry.Review;
using Telemetry.Runs;

namespace Telemetry.Output.Report;

/// <summary>A channel that the page draws along the lap.</summary>
/// <param name="Name">What it is, in our words.</param>
/// <param name="Unit">Shown unit.</param>
/// <param name="Scale">Shown unit per SI unit.</param>
/// <param name="Samples">One value a sample of the clock, SI.</param>
/// <param name="Corner">The corner it belongs to, or null.</param>
/// <param name="IsShownFirst">True when its panel is open before anybody chose.</param>
internal sealed record TraceChannel(string Name, string Unit, double Scale, SampleSource Samples, Corner? Corner, bool IsShownFirst);

/// <summary>The channels of the page with their packed samples: public entry of the packing, whose pieces may run side by side.</summary>
/// <param name="Grid">The buckets of the first drawing.</param>
/// <param name="Channels">The channels, in the order of their panels.</param>
/// <param name="Packed">What the page holds of each, in SI.</param>
/// <param name="Numbers">What the figures need beside them.</param>
internal sealed record ReportTraces(BucketGrid Grid, ImmutableArray<TraceChannel> Channels, ImmutableArray<PackedSamples> Packed, Lazy<FigureNumbers> Numbers)
{
    /// <summary>Panels of a page: more are not read side by side, and channels.parquet holds every channel.</summary>
    public const int MostChannels = 12;

    /// <summary>
    /// Packed samples of a page, all channels together, bytes: with them, twelve channels of a quarter of an hour at 1 kHz and all pictures stay under 15 MB.
    /// Channels past it keep their buckets only, and the page says which, so that the page of a long run can still be sent by mail.
    /// </summary>
    public const int MostPackedBytes = 7_500_000;

    /// <summary>Packs every channel in turn.</summary>
    public static ReportTraces From(RunReview review)
    {
        (BucketGrid grid, ImmutableArray<TraceChannel> channels, ImmutableArray<Func<PackedSamples>> pieces) = Pieces(review);
        return Within(grid, channels, [.. pieces.Select(pack => pack())], new(() => FigureNumbers.Of(review, grid)));
    }

    /// <summary>The page's channels, without the samples of those that it has no room for.</summary>
    public static ReportTraces Within(BucketGrid grid, ImmutableArray<TraceChannel> channels, ImmutableArray<PackedSamples> packed, Lazy<FigureNumbers> numbers)
    {
        long bytes = 0;
        return new(grid, channels, [.. packed.Select(one => (bytes += one.Gzip.Length) <= MostPackedBytes ? one : one with { Gzip = ReadOnlyMemory<byte>.Empty })], numbers);
    }

    /// <summary>One piece of work a channel, for a caller who has other work beside them.</summary>
    public static (BucketGrid Grid, ImmutableArray<TraceChannel> Channels, ImmutableArray<Func<PackedSamples>> Pieces) Pieces(RunReview review)
    {
        BucketGrid grid = BucketGrid.For(review.Run);
        ImmutableArray<TraceChannel> channels = [.. Wanted(review).OfType<TraceChannel>().Where(channel => channel.Samples.Length > 0 && channel.Samples.Length == review.Run.Count).Take(MostChannels)];
        return (grid, channels,
            [.. channels.Select(channel => (Func<PackedSamples>)(() => PackedSamples.Of(channel.Samples, grid, channel.IsShownFirst && channel.Corner is not null ? PackedSamples.StepsOfLoads : PackedSamples.StepsOfOthers)))]);
    }

    // What an engineer lays above one another first: how fast, what the pushrods carried, where the wheels were, how high the car stood, what the driver asked for.
    private static IEnumerable<TraceChannel?> Wanted(RunReview review)
    {
        Run run = review.Run;
        TraceChannel? Of(ChannelRole role, string name, string unit, double scale, bool isFirst = false) =>
            run.Has(role) ? new(name, unit, scale, run.OnClock(role), null, isFirst) : null;
        yield return Of(ChannelRole.Speed, "speed", "km/h", NumberText.KmhPerMps, isFirst: true);
        foreach (Corner corner in Corners.All)
        {
            SampleSource load = review.Wheels.Pushrods.PushrodLoadN[corner];
            yield return load.IsEmpty ? null : new($"pushrod load {corner.Code()}", "kN", 1e-3, load, corner, true);
        }

        foreach (Corner corner in Corners.All)
        {
            yield return review.Wheels.Pushrods.DamperTravelM[corner] is { } travel ? new($"damper travel {corner.Code()}", "mm", NumberText.MmPerM, travel, corner, false) : null;
        }

        yield return Of(ChannelRole.RideHeightFront, "ride height front", "mm", NumberText.MmPerM);
        yield return Of(ChannelRole.RideHeightRear, "ride height rear", "mm", NumberText.MmPerM);
        yield return Of(ChannelRole.AccelerationY, "lateral acceleration", "g", 1 / StandardGravity.Mps2);
        yield return Of(ChannelRole.AccelerationX, "longitudinal acceleration", "g", 1 / StandardGravity.Mps2);
        yield return Of(ChannelRole.AccelerationZ, "vertical acceleration", "g", 1 / StandardGravity.Mps2);
        yield return Of(ChannelRole.Brake, "brake", "as logged", 1);
    }
}
