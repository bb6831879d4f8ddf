using Telemetry.Output.Days;

namespace Telemetry.Cli.Watching;

/// <summary>What to do with a file that has settled.</summary>
internal enum WatchStep
{
    /// <summary>It is half, and nobody was told.</summary>
    TellHalf,

    /// <summary>It is half, as was told.</summary>
    StayHalf,

    /// <summary>Its content was dealt with before.</summary>
    Skip,

    /// <summary>Analyse it.</summary>
    Analyse,
}

/// <summary>Decides what to do next: pure.</summary>
internal static class WatchSteps
{
    /// <summary>What to do with a settled file.</summary>
    /// <param name="landing">What is known of it.</param>
    /// <param name="whyNotWhole">Why it cannot be whole, or null.</param>
    /// <param name="known">The entry of its content in the day; null when there is none, or when it is not whole.</param>
    /// <param name="carHash">The car file as it is now.</param>
    public static WatchStep Of(Landing landing, string? whyNotWhole, DayRun? known, string carHash) =>
        whyNotWhole is not null ? landing.IsTold ? WatchStep.StayHalf : WatchStep.TellHalf
        // A log that failed is tried again with another car file, which is what most failures ask for; one that was analysed is not, whatever became of the car since.
        : known is { IsDone: true } || (known is not null && known.CarSha256 == carHash) ? WatchStep.Skip
        : WatchStep.Analyse;
}
