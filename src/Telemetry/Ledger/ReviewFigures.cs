using Telemetry.Review;
using Telemetry.Runs;

namespace Telemetry.Ledger;

/// <summary>What a ledger keeps of a review.</summary>
public static class ReviewFigures
{
    /// <summary>The figures of a run that was just analysed, with the ledger's history before it.</summary>
    /// <param name="review">The review.</param>
    /// <param name="logHash">SHA-256 of the log's bytes.</param>
    /// <param name="carHash">SHA-256 of the car file's text.</param>
    /// <param name="settings">The settings that damage hangs on, in words.</param>
    /// <param name="startedAtUtc">Start of the run as the person stated it; null: as the log has it.</param>
    /// <exception cref="ArgumentException">A hash is empty.</exception>
    public static RunFigures Of(RunReview review, string logHash, string carHash, string settings, DateTimeOffset? startedAtUtc)
    {
        ArgumentNullException.ThrowIfNull(review);
        ArgumentException.ThrowIfNullOrEmpty(logHash);
        ArgumentException.ThrowIfNullOrEmpty(carHash);
        return new()
        {
            Run = review.Run.Name,
            LogHash = logHash,
            StartedAtUtc = startedAtUtc ?? review.Run.StartedAtUtc,
            Car = review.Run.Car.Name,
            CarHash = carHash,
            Program = review.LibraryVersion,
            Settings = settings,
            Laps = [.. review.Run.Laps.Laps.Select(Lap)],
            Parts = [.. review.Fatigue.Components.Select(PartFigures.Of)],
            Readings = review.Readings,
        };
    }

    private static RunLap Lap(Lap lap) => new(lap.Number, double.IsFinite(lap.LengthM) ? lap.LengthM : null, lap.DurationS, lap.IsComplete);
}
