namespace Telemetry.Health;

/// <summary>White noise at standstill that is too large for the answers.</summary>
/// <remarks>
/// Loads and travels: against the channel's own motion above 3 Hz while running, a tenth of it; a peak then stands within about 0.3 of a scatter more than it should.
/// Accelerations: what is left of it in a mean over the half second of a quasi-steady window, sigma / sqrt(0.5 s x rate), may be 0.01 g.
/// Noise is taken from differences between neighbours, so that rocking, jacking and drift at standstill do not count; an engine that shakes the car does.
/// </remarks>
internal static class StandstillNoise
{
    private const double WindowS = 0.5;

    public static IEnumerable<HealthFinding> Find(ChannelView view)
    {
        double limit = view.Family switch
        {
            ChannelFamily.Load or ChannelFamily.Travel => view.Options.NoiseShareOfMotion * view.DynamicMotion,
            ChannelFamily.Acceleration => view.Options.NoiseOfMeanMps2 * Math.Sqrt(WindowS * view.RateHz),
            ChannelFamily.Speed => view.Options.NoiseOfSpeedMps,
            ChannelFamily.RideHeight => view.Options.NoiseOfRideHeightM,
            _ => double.NaN,
        };
        double expected = view.Mapping?.Resolution is double resolution ? Math.Max(resolution, view.Step) : view.Step;
        if (!(view.StandingNoise > limit) || view.StandingNoise < expected)
        {
            return [];
        }

        string against = view.Family is ChannelFamily.Load or ChannelFamily.Travel
            ? FormattableString.Invariant($"{100 * view.StandingNoise / view.DynamicMotion:0} % of its motion above {view.Options.DynamicFromHz:0} Hz while running")
            : $"more than {view.Show(limit)}";
        return
        [
            view.Finding(
                "noise",
                HealthVerdict.Doubtful,
                [.. view.Standing],
                $"At standstill it scatters by {view.Show(view.StandingNoise)} from sample to sample, {against}.",
                "Check screen, earth, supply and amplifier gain with the engine off and on; small load cycles and strikes drown in it."),
        ];
    }
}
