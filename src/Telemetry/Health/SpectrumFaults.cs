namespace Telemetry.Health;

/// <summary>What the spectrum of a channel shows: a filter that took the wheel's own motion away, or energy folded back at the Nyquist edge.</summary>
/// <remarks>
/// Filter: a road whose displacement spectrum falls with the square of the wave number (ISO 8608:2016, from memory) shakes the hub on its tyre at 10 to 25 Hz
/// (common practice, no source). By the quarter-car equations the density of the pushrod load there is then about a tenth of that at 2 to 5 Hz, and above it falls with
/// about the fourth power of the frequency: at 30 to 60 Hz it is about (16/42)^4 = 2 % of that at 10 to 25 Hz; the travel has another square less. A second-order
/// low-pass takes another fourth power. A channel below a quarter of both is taken to be filtered.
/// Folding: the density near the Nyquist frequency, less the noise floor seen at standstill, times the bandwidth, is about what folds back (a spectrum that falls with the
/// second power holds as much above the edge as this). As a share of the variance above 3 Hz it says by how much the dynamic part is wrong.
/// </remarks>
internal static class SpectrumFaults
{
    private const double LowFromHz = 2;
    private const double LowToHz = 5;
    private const double HubFromHz = 10;
    private const double HubToHz = 25;
    private const double AboveFromHz = 30;
    private const double AboveToHz = 60;

    public static IEnumerable<HealthFinding> Find(ChannelView view)
    {
        if (view.Family is not (ChannelFamily.Load or ChannelFamily.Travel or ChannelFamily.Acceleration) || !view.MotionIsKnown
            || view.Levels is not BandLevels running || running.Segments < view.Options.SpectrumSegments)
        {
            yield break;
        }

        double floor = double.IsNaN(view.StandingNoise) ? 0 : view.StandingNoise * view.StandingNoise / running.NyquistHz;
        if (view.Family != ChannelFamily.Acceleration && LowPass(view, running) is HealthFinding filtered)
        {
            yield return filtered;
        }

        if (Folding(view, running, floor) is HealthFinding folded)
        {
            yield return folded;
        }
    }

    private static HealthFinding? LowPass(ChannelView view, BandLevels running)
    {
        HealthOptions options = view.Options;
        bool isLoad = view.Family == ChannelFamily.Load;
        if (!(running.NyquistHz >= 1.6 * HubFromHz))
        {
            return null;
        }

        double hubTo = Math.Min(HubToHz, 0.9 * running.NyquistHz);
        double hubShare = running.MedianRatio((HubFromHz, hubTo), (LowFromHz, LowToHz));
        double aboveShare = running.NyquistHz >= AboveToHz ? running.MedianRatio((AboveFromHz, AboveToHz), (HubFromHz, hubTo)) : double.NaN;
        double cutBelow = hubShare < (isLoad ? options.HubShareOfLoad : options.HubShareOfTravel) ? HubFromHz
            : aboveShare < (isLoad ? options.AboveHubShareOfLoad : options.AboveHubShareOfTravel) ? HubToHz
            : double.NaN;
        if (double.IsNaN(cutBelow) || view.Channel.IsLowPassed)
        {
            return null;
        }

        string seen = cutBelow == HubFromHz
            ? FormattableString.Invariant($"At {HubFromHz:0} to {HubToHz:0} Hz, where the wheel hub swings, its power density is {100 * hubShare:0.##} % of that at {LowFromHz:0} to {LowToHz:0} Hz")
            : FormattableString.Invariant($"At {AboveFromHz:0} to {AboveToHz:0} Hz its power density is {100 * aboveShare:0.###} % of that at {HubFromHz:0} to {HubToHz:0} Hz");
        return view.Finding(
            "low_passed",
            HealthVerdict.Doubtful,
            FormattableString.Invariant($"{seen}: far below what a road makes. It seems to be low-passed below about {cutBelow:0} Hz before it was recorded."),
            isLoad
                ? "Record the load cells unfiltered (anti-alias filter at a third of the rate or above). If a filter is known, state it as logger_cut_off in the car file: strikes and fatigue are then withheld."
                : "Record the dampers unfiltered; if a filter is known, state it as logger_cut_off in the car file.",
            isLoad
                ? "Peaks of kerb strikes and load cycles of this corner are too small. Means, and so the aero load, are not touched."
                : "Damper velocity and strikes by damper are too small. Means, and so ride heights, are not touched.");
    }

    private static HealthFinding? Folding(ChannelView view, BandLevels running, double floor)
    {
        double edge = running.Mean(0.8 * running.NyquistHz, 0.98 * running.NyquistHz) - (view.Options.FloorMargin * floor);
        double dynamic = running.Variance(view.Options.DynamicFromHz, running.NyquistHz) - (floor * running.NyquistHz);
        if (!(dynamic > 0) || !(edge > 0) || !(dynamic > floor * running.NyquistHz))
        {
            return null;
        }

        double share = edge * running.NyquistHz / dynamic;
        double limit = view.Family == ChannelFamily.Acceleration ? view.Options.FoldedShareOfAcceleration : view.Options.FoldedShare;
        return share <= limit ? null : view.Finding(
            "aliasing",
            HealthVerdict.Doubtful,
            FormattableString.Invariant($"At the upper edge of its band ({0.8 * running.NyquistHz:0.#} to {running.NyquistHz:0.#} Hz) it still has as much energy as would be {100 * share:0.#} % of all its motion above {view.Options.DynamicFromHz:0} Hz, spread over the band: faster motion is probably folded back into it."),
            FormattableString.Invariant($"Log it at {4 * view.RateHz:0} Hz, or fit an anti-alias filter at a third of the logging rate (SAE J211-1 asks for sampling at ten times the class's corner, from memory)."),
            "Peaks, spectra and load cycles hold motion that is not there. Means over half a second are hardly touched.");
    }
}
