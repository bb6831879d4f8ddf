namespace Telemetry.Health;

/// <summary>A channel without a single number.</summary>
internal static class DeadChannel
{
    public static IEnumerable<HealthFinding> Find(ChannelView view)
    {
        foreach (double value in view.Samples)
        {
            if (double.IsFinite(value))
            {
                return [];
            }
        }

        return
        [
            view.Finding(
                "dead",
                view.Family == ChannelFamily.Load ? HealthVerdict.Unusable : HealthVerdict.Doubtful,
                "The channel has no number at all.",
                "Check the sensor, its cable and the logger's channel."),
        ];
    }
}
