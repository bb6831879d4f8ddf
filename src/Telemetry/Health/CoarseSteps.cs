namespace Telemetry.Health;

/// <summary>Steps too large for the answers, with too little noise under them to average out.</summary>
/// <remarks>
/// A step q adds an error of q / sqrt(12). Noise of half a step or more makes means finer than the step (dither; common practice, no source), so a step is coarse
/// only when the noise at standstill is below that. Loads and travels: the error may be 5 % of the motion above 3 Hz. Others: a step that the answers feel.
/// </remarks>
internal static class CoarseSteps
{
    public static IEnumerable<HealthFinding> Find(ChannelView view)
    {
        double limit = view.Family switch
        {
            ChannelFamily.Load or ChannelFamily.Travel => view.Options.StepShareOfMotion * Math.Sqrt(12) * view.DynamicMotion,
            ChannelFamily.Acceleration => view.Options.CoarseAccelerationMps2,
            ChannelFamily.RideHeight => view.Options.CoarseRideHeightM,
            ChannelFamily.Speed => view.Options.CoarseSpeedMps,
            _ => double.NaN,
        };

        // Without a standstill the noise is not known; the step alone then decides.
        if (!(view.Step > limit) || view.StandingNoise >= view.Step / 2)
        {
            return [];
        }

        string said = view.Mapping?.Resolution is double resolution && view.Step > 2 * resolution
            ? $"; the car file says {view.Show(resolution)}"
            : "";
        return
        [
            view.Finding(
                "coarse_steps",
                HealthVerdict.Doubtful,
                $"It moves in steps of {view.Show(view.Step)}{said}; finer than {view.Show(limit)} is needed.",
                "Log it with more bits or decimals, or set the amplifier's range to the signal."),
        ];
    }
}
