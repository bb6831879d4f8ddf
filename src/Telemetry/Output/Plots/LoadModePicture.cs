using System.Collections.Immutable;
using Telemetry.Car;
using Telemetry.Modes;
using Telemetry.Review;
using Telemetry.Runs;

namespace Telemetry.Output.Plots;

/// <summary>Heave, pitch, roll and warp of the wheel loads along the lap, laps laid over each other.</summary>
internal static class LoadModePicture
{
    public const string Name = "load_modes_by_lap";

    public static Sketch Draw(RunReview review)
    {
        ImmutableArray<Lap> laps = ModePanels.Comparable(review.Run);
        if (laps.IsEmpty || ModePanels.Hardest(review, laps) is not { } hardest)
        {
            return Sketch.Without(Name, "No wheel load is known on any lap.");
        }

        LoadModes modes = review.Modes.Load;
        LapAxis axis = new(review.Run, laps);
        string title = $"Lap {hardest.Lap.Number} is the hardest: {Say.Number(hardest.LoadN * Say.KnPerN, 1)} kN at the {hardest.Corner.Code()} pushrod, "
            + $"{Say.Number(axis.At(hardest.Index, hardest.Lap), 0)} {axis.Unit} from the start of the lap";
        Figure figure = new(Name, title, Look.Subtitle(review, "wheel loads that the pushrods carry, zero taken off"),
            $"Four curves along the lap, heave, pitch, roll and warp of the wheel loads in kN, {Say.Count(laps.Length, "lap")} laid over each other. {title}.");
        ModePanels.Add(figure, review.Run, laps, hardest.Lap,
        [
            [new("Heave (kN)", modes.HeaveN, Say.KnPerN)],
            [new("Pitch (kN)", modes.PitchN, Say.KnPerN)],
            [new("Roll (kN)", modes.RollN, Say.KnPerN)],
            [new("Warp (kN)", modes.WarpN, Say.KnPerN)],
        ]);
        figure.Footnote += " Pitch: front minus rear; roll: right minus left; warp: one diagonal minus the other.";
        return Sketch.Of(figure);
    }
}
