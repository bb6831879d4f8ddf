using Telemetry.Runs;

namespace Telemetry.Health;

/// <summary>A load cell that the car file says was filtered before it was recorded.</summary>
internal static class StatedFilter
{
    public static IEnumerable<HealthFinding> Find(ChannelView view)
    {
        if (view.Family != ChannelFamily.Load || view.Channel.Steps.OfType<LowPassedInLogger>().FirstOrDefault() is not LowPassedInLogger filtered)
        {
            return [];
        }

        return
        [
            view.Finding(
                "filtered_in_logger",
                HealthVerdict.Doubtful,
                FormattableString.Invariant($"It was low-passed at {filtered.CutOffHz:0.#} Hz before it was recorded."),
                "Record the load cells unfiltered for kerb strikes and fatigue."),
        ];
    }
}
