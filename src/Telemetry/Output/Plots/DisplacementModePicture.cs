using System.Collections.Immutable;
using Telemetry.Review;
using Telemetry.Runs;

namespace Telemetry.Output.Plots;

/// <summary>Heave, pitch, roll and warp of the wheel travel along the lap, laps laid over each other.</summary>
internal static class DisplacementModePicture
{
    public const string Name = "displacement_modes_by_lap";

    public static Sketch Draw(RunReview review)
    {
        if (review.Modes.Displacement is not { } modes)
        {
            return Sketch.Without(Name, "Not all four dampers are measured.");
        }

        ImmutableArray<Lap> laps = ModePanels.Comparable(review.Run);
        if (laps.IsEmpty || ModePanels.Hardest(review, laps) is not { } hardest)
        {
            return Sketch.Without(Name, "No wheel load is known on any lap.");
        }

        (double low, double high) = Range(modes.HeaveM, laps);
        string title = double.IsFinite(low)
            ? $"Heave from {Say.Number(low * Say.MmPerM, 1)} to {Say.Number(high * Say.MmPerM, 1)} mm over {Say.Count(laps.Length, "lap")}; lap {hardest.Lap.Number} carried the largest load"
            : "Heave of the wheel travel is not known";
        Figure figure = new(Name, title, Look.Subtitle(review, "wheel travel from the static position, bump positive"),
            $"Four curves along the lap, heave and warp in mm, pitch and roll in degrees, {Say.Count(laps.Length, "lap")} laid over each other. {title}.");
        ModePanels.Add(figure, review.Run, laps, hardest.Lap,
        [
            [new("Heave (mm)", modes.HeaveM, Say.MmPerM)],
            [new("Pitch (°)", modes.PitchRad, Say.DegPerRad)],
            [new("Roll (°)", modes.RollFrontRad, Say.DegPerRad), new("Roll rear (°)", modes.RollRearRad, Say.DegPerRad)],
            [new("Warp (mm)", modes.WarpM, Say.MmPerM)],
        ]);
        figure.Explain(LegendEntry.Line("roll of the rear axle, hardest lap", new(Look.Vermillion, new([3, 4], 0, "dot"), default)));
        figure.Footnote += " Roll: front axle unless stated.";
        return Sketch.Of(figure);
    }

    private static (double Low, double High) Range(SampleSource values, ImmutableArray<Lap> laps)
    {
        double low = double.PositiveInfinity, high = double.NegativeInfinity;
        double[] room = SampleSource.RoomForBlock();
        foreach ((int start, int count) in laps.SelectMany(lap => SampleSource.Blocks(lap.StartIndex, lap.EndIndex)))
        {
            (double lowest, double highest) = Extremes.Of(values.Read(start, count, room));
            low = Math.Min(low, lowest);
            high = Math.Max(high, highest);
        }

        return (low, high);
    }
}
