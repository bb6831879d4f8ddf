using System.Collections.Immutable;
using System.Runtime.InteropServices;
using Telemetry.Car;
using Telemetry.Cleaning;
using Telemetry.Logs;
using Telemetry.Modes;
using Telemetry.Review;
using Telemetry.Runs;
using static Telemetry.Output.NumberText;

namespace Telemetry.Output;

/// <summary>The channels that the analysis made, as a log that any reader of logs takes: what channels.parquet holds.</summary>
public static class ProcessedChannels
{
    /// <summary>Zeroed pushrod loads, their quality, channels as logged where they were repaired, wheel loads, contact-patch loads, travel, modes, speed, lap and distance; all on the clock of the load cells.</summary>
    /// <remarks>
    /// A quality is 0 for a good sample, 1 for a doubtful one, 2 where a straight line stands in, 3 where there is none; the load cells always have
    /// one, dampers where some sample is not good. Loads in N, travel in mm, angles in degrees, speed in km/h; NaN where there is no value. A channel that the log cannot
    /// give is left out. Numbers keep the 24 binary digits of single precision, a part in ten million: far finer than any
    /// sensor, and half the file, because the other digits of a double are noise that no compression removes.
    /// </remarks>
    public static RunLog From(RunReview review)
    {
        (RunLog log, ImmutableArray<double> scales) = Unscaled(review);
        return log with { Channels = [.. log.Channels.Select((channel, i) => channel with { Samples = Scaled(channel.Samples.AsSpan(), scales[i]) })] };
    }

    /// <summary>Writes the same as Parquet without holding a scaled copy of every channel.</summary>
    /// <param name="review">The review.</param>
    /// <param name="stream">An empty stream that can be written to and sought in; stays open.</param>
    public static void Write(RunReview review, Stream stream)
    {
        (RunLog log, ImmutableArray<double> scales) = Unscaled(review);
        ParquetLogWriter.Write(log, stream, scales);
    }

    /// <summary>The channels in SI with the factor that brings each to its unit.</summary>
    private static (RunLog Log, ImmutableArray<double> Scales) Unscaled(RunReview review)
    {
        ArgumentNullException.ThrowIfNull(review);
        Run run = review.Run;
        ImmutableArray<LoggedChannel>.Builder channels = ImmutableArray.CreateBuilder<LoggedChannel>();
        ImmutableArray<double>.Builder scales = ImmutableArray.CreateBuilder<double>();
        void Add(string name, string unit, ImmutableArray<double> samples, double scale = 1)
        {
            if (!samples.IsDefault && samples.Length == run.Count)
            {
                channels.Add(new(name, unit, run.Clock, samples));
                scales.Add(scale);
            }
        }

        void AddAsLogged(ChannelRole role)
        {
            bool isTravel = role is >= ChannelRole.DamperTravelFL and <= ChannelRole.DamperTravelRR;
            Add($"{Words(role)} as logged", isTravel ? "mm" : ChannelUnits.SiUnit(role), review.Cleaning.AsLogged.ClockSamples[(int)role], isTravel ? MmPerM : 1);
        }

        Add("lap", "", LapNumbers(run));
        Add("lap distance", "m", run.LapDistanceM);
        Add("speed", "km/h", run.ClockSamples[(int)ChannelRole.Speed], KmhPerMps);
        foreach (Corner corner in Corners.All)
        {
            Add($"pushrod load {corner.Code()}", "N", review.Wheels.Pushrods.PushrodLoadN[corner]);
        }

        foreach (Repair repair in review.Cleaning.Done.DistinctBy(repair => repair.Role))
        {
            AddAsLogged(repair.Role);
        }

        ImmutableArray<double> allGood = default;
        foreach (Channel channel in run.Channels.Where(channel => channel.Role <= ChannelRole.DamperTravelRR))
        {
            SampleQuality[] quality = SampleQualities.Of(review.Cleaning, review.Health, channel.Role);
            if (quality.AsSpan().ContainsAnyExcept(SampleQuality.Good))
            {
                Add($"quality {Words(channel.Role)}", "", Numbers(quality));
            }
            else if (channel.Role <= ChannelRole.PushrodLoadRR)
            {
                // Good is 0: one array of zeros for all channels.
                Add($"quality {Words(channel.Role)}", "", allGood = allGood.IsDefault ? ImmutableCollectionsMarshal.AsImmutableArray(new double[quality.Length]) : allGood);
            }
        }

        foreach (Corner corner in Corners.All)
        {
            Add($"wheel load {corner.Code()}", "N", review.Wheels.LoadN[corner]);
        }

        foreach (Corner corner in Corners.All)
        {
            Add($"contact-patch load {corner.Code()}", "N", review.Wheels.ContactPatchLoadN?[corner] ?? default);
        }

        foreach (Corner corner in Corners.All)
        {
            Add($"wheel travel {corner.Code()}", "mm", review.Wheels.WheelTravelM[corner], MmPerM);
        }

        LoadModes load = review.Modes.Load;
        Add("load heave", "N", load.HeaveN);
        Add("load pitch", "N", load.PitchN);
        Add("load roll", "N", load.RollN);
        Add("load warp", "N", load.WarpN);
        Add("pitch moment", "Nm", load.PitchMomentNm);
        Add("roll moment", "Nm", load.RollMomentNm);
        if (review.Modes.Displacement is DisplacementModes travel)
        {
            Add("heave", "mm", travel.HeaveM, MmPerM);
            Add("pitch", "deg", travel.PitchRad, DegPerRad);
            Add("roll front", "deg", travel.RollFrontRad, DegPerRad);
            Add("roll rear", "deg", travel.RollRearRad, DegPerRad);
            Add("warp", "mm", travel.WarpM, MmPerM);
        }

        return (new RunLog(run.Name, "", channels.ToImmutable(), [], run.StartedAtUtc), scales.ToImmutable());
    }

    private static ImmutableArray<double> Numbers(SampleQuality[] quality)
    {
        double[] numbers = new double[quality.Length];
        for (int i = 0; i < numbers.Length; i++)
        {
            numbers[i] = (int)quality[i];
        }

        return ImmutableCollectionsMarshal.AsImmutableArray(numbers);
    }

    /// <summary>A role in the words of the columns: "pushrod load FL".</summary>
    private static string Words(ChannelRole role) => role switch
    {
        <= ChannelRole.PushrodLoadRR => $"pushrod load {((Corner)(int)role).Code()}",
        <= ChannelRole.DamperTravelRR => $"damper travel {((Corner)(role - ChannelRole.DamperTravelFL)).Code()}",
        _ => SummaryFile.Word(role).Replace('_', ' '),
    };

    private static ImmutableArray<double> LapNumbers(Run run)
    {
        double[] numbers = new double[run.Count];
        foreach (Lap lap in run.Laps.Laps)
        {
            numbers.AsSpan(lap.StartIndex..lap.EndIndex).Fill(lap.Number);
        }

        return ImmutableCollectionsMarshal.AsImmutableArray(numbers);
    }

    private static ImmutableArray<double> Scaled(ReadOnlySpan<double> samples, double scale)
    {
        double[] scaled = new double[samples.Length];
        for (int i = 0; i < scaled.Length; i++)
        {
            scaled[i] = (float)(samples[i] * scale);
        }

        return ImmutableCollectionsMarshal.AsImmutableArray(scaled);
    }
}
