using System.Runtime.InteropServices;
using Parquet;
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
        ArgumentNullException.ThrowIfNull(review);
        return Described(review) with { Channels = [.. Columns(review).Select(column => new LoggedChannel(column.Name, column.Unit, column.Time, Scaled(column)))] };
    }

    /// <summary>Writes the same as Parquet without holding a scaled copy of every channel.</summary>
    /// <remarks>With Snappy: the file is 6 % larger than with Zstandard and is written in two thirds of the time.</remarks>
    /// <param name="review">The review.</param>
    /// <param name="stream">An empty stream that can be written to and sought in; stays open.</param>
    public static void Write(RunReview review, Stream stream)
    {
        ArgumentNullException.ThrowIfNull(review);
        ParquetLogWriter.Write(Described(review), Columns(review), CompressionMethod.Snappy, stream);
    }

    private static RunLog Described(RunReview review) => new(review.Run.Name, "", [], [], review.Run.StartedAtUtc);

    /// <summary>The channels in SI with the factor that brings each to its unit.</summary>
    private static List<ColumnToWrite> Columns(RunReview review)
    {
        Run run = review.Run;
        List<ColumnToWrite> columns = [];
        void Add(string name, string unit, SampleSource samples, double scale = 1)
        {
            if (samples.Length == run.Count)
            {
                columns.Add(new(name, unit, run.Clock, samples, scale));
            }
        }

        void AddAsLogged(ChannelRole role)
        {
            bool isTravel = role is >= ChannelRole.DamperTravelFL and <= ChannelRole.DamperTravelRR;
            Add($"{Words(role)} as logged", isTravel ? "mm" : ChannelUnits.SiUnit(role), review.Cleaning.AsLogged.OnClock(role), isTravel ? MmPerM : 1);
        }

        Add("lap", "", new LapNumbers(run));
        Add("lap distance", "m", run.LapDistanceM);
        Add("speed", "km/h", run.OnClock(ChannelRole.Speed), KmhPerMps);
        foreach (Corner corner in Corners.All)
        {
            Add($"pushrod load {corner.Code()}", "N", review.Wheels.Pushrods.PushrodLoadN[corner]);
        }

        foreach (Repair repair in review.Cleaning.Done.DistinctBy(repair => repair.Role))
        {
            AddAsLogged(repair.Role);
        }

        foreach (Channel channel in run.Channels.Where(channel => channel.Role <= ChannelRole.DamperTravelRR))
        {
            SampleQuality[] quality = SampleQualities.Of(review.Cleaning, review.Health, channel.Role);
            if (channel.Role <= ChannelRole.PushrodLoadRR || quality.AsSpan().ContainsAnyExcept(SampleQuality.Good))
            {
                Add($"quality {Words(channel.Role)}", "", new QualityNumbers(quality));
            }
        }

        foreach (Corner corner in Corners.All)
        {
            Add($"wheel load {corner.Code()}", "N", review.Wheels.LoadN[corner]);
        }

        foreach (Corner corner in Corners.All)
        {
            if (review.Wheels.ContactPatchLoadN?[corner] is SampleSource load)
            {
                Add($"contact-patch load {corner.Code()}", "N", load);
            }
        }

        foreach (Corner corner in Corners.All)
        {
            if (review.Wheels.WheelTravelM[corner] is { } ofWheel)
            {
                Add($"wheel travel {corner.Code()}", "mm", ofWheel, MmPerM);
            }
        }

        LoadModes modes = review.Modes.Load;
        Add("load heave", "N", modes.HeaveN);
        Add("load pitch", "N", modes.PitchN);
        Add("load roll", "N", modes.RollN);
        Add("load warp", "N", modes.WarpN);
        Add("pitch moment", "Nm", modes.PitchMomentNm);
        Add("roll moment", "Nm", modes.RollMomentNm);
        if (review.Modes.Displacement is DisplacementModes travel)
        {
            Add("heave", "mm", travel.HeaveM, MmPerM);
            Add("pitch", "deg", travel.PitchRad, DegPerRad);
            Add("roll front", "deg", travel.RollFrontRad, DegPerRad);
            Add("roll rear", "deg", travel.RollRearRad, DegPerRad);
            Add("warp", "mm", travel.WarpM, MmPerM);
        }

        return columns;
    }

    /// <summary>A role in the words of the columns: "pushrod load FL".</summary>
    private static string Words(ChannelRole role) => role switch
    {
        <= ChannelRole.PushrodLoadRR => $"pushrod load {((Corner)(int)role).Code()}",
        <= ChannelRole.DamperTravelRR => $"damper travel {((Corner)(role - ChannelRole.DamperTravelFL)).Code()}",
        _ => SummaryFile.Word(role).Replace('_', ' '),
    };

    private static SampleSource Scaled(ColumnToWrite column)
    {
        double[] scaled = new double[column.Samples.Length];
        ReadOnlySpan<double> samples = column.Samples.Read(0, scaled.Length, scaled);
        for (int i = 0; i < scaled.Length; i++)
        {
            scaled[i] = (float)(samples[i] * column.Scale!.Value);
        }

        return SampleSource.Of(ImmutableCollectionsMarshal.AsImmutableArray(scaled));
    }

    /// <summary>The number of the lap at each sample; 0 outside all laps.</summary>
    private sealed class LapNumbers(Run run) : SampleSource(run.Count)
    {
        public override ReadOnlySpan<double> Read(int start, int count, Span<double> room)
        {
            Span<double> numbers = room[..count];
            numbers.Clear();
            foreach (Lap lap in run.Laps.Laps)
            {
                int from = Math.Max(lap.StartIndex, start), to = Math.Min(lap.EndIndex, start + count);
                if (from < to)
                {
                    numbers[(from - start)..(to - start)].Fill(lap.Number);
                }
            }

            return numbers;
        }
    }

    private sealed class QualityNumbers(SampleQuality[] qualities) : SampleSource(qualities.Length)
    {
        public override ReadOnlySpan<double> Read(int start, int count, Span<double> room)
        {
            for (int i = 0; i < count; i++)
            {
                room[i] = (int)qualities[start + i];
            }

            return room[..count];
        }
    }
}
