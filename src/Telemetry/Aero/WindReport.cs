namespace Telemetry.Aero;

/// <summary>Says what the wind was taken to be.</summary>
internal static class WindReport
{
    public static WindState Of(AeroFit fit, AeroOptions options, StationWind? station, bool measuresAir, bool headingKnown, bool fromNorth, double spreadRad)
    {
        if (measuresAir)
        {
            return new(null, null, fromNorth, "The air-speed channel was used, so no wind had to be known.");
        }

        double assumed = options.AssumedWindMps;
        if (!fit.Model.HasWind)
        {
            if (station is not null)
            {
                double logged = double.Hypot(station.North, station.East);
                double limit = 1.96 * station.StandardUncertaintyMps;
                double toward = Headings.Wrap(Math.Atan2(station.East, station.North));
                double angle = logged > limit ? Math.Asin(limit / logged) : Math.PI;
                return new(new Estimate(logged, Math.Max(0, logged - limit), logged + limit), new Estimate(toward, toward - angle, toward + angle), fromNorth, FormattableString.Invariant(
                    $"The wind channel was used: {logged:0.0} m/s from {toward * 180 / Math.PI:0} degrees at the height of the car ({options.StationWindShare:0.##} of what the station reads), {station.StandardUncertaintyMps:0.0} m/s standard uncertainty."));
            }

            string why = headingKnown
                ? FormattableString.Invariant($"the straights' headings differ by only {spreadRad * 180 / Math.PI:0} degrees")
                : "the headings of the straights are not known";
            return new(null, null, fromNorth, FormattableString.Invariant(
                $"No steady wind was assumed, because {why}; the intervals allow for a head wind of {assumed:0.#} m/s standard uncertainty."));
        }

        int first = 2 * fit.Model.PerAxle;
        double north = fit.Theta[first] + (station?.North ?? 0);
        double east = fit.Theta[first + 1] + (station?.East ?? 0);
        double speed = Math.Sqrt((north * north) + (east * east));
        double from = Headings.Wrap(Math.Atan2(east, north));
        WindSpread spread = WindSpread.Of(fit, first);
        (double low, double high, double angleHalf) = spread.Limits(north, east);
        Estimate speedEstimate = new(speed, Math.Min(low, speed), Math.Max(high, speed));
        Estimate fromEstimate = new(from, from - angleHalf, from + angleHalf);
        string direction = fromNorth ? "from" : "from, counted from an arbitrary direction,";
        string source = station is null ? "estimated" : "from the wind channel, corrected";
        string statement = FormattableString.Invariant(
            $"Wind {speed:0.0} m/s (95 % {speedEstimate.Low95:0.0} to {speedEstimate.High95:0.0}) {direction} {from * 180 / Math.PI:0} degrees, {source} from straights up to {spreadRad * 180 / Math.PI:0} degrees apart; it scatters by {fit.GustMps:0.0} m/s from pass to pass.");
        if (spread.LargestMps > UnseenShare * options.AssumedWindMps && station is null)
        {
            double axis = Headings.Wrap(spread.LargestAlongRad) % Math.PI;
            statement += FormattableString.Invariant(
                $" The straights hardly show the wind along {axis * 180 / Math.PI:0} and {(axis + Math.PI) * 180 / Math.PI:0} degrees: there it is known to {spread.LargestMps:0.0} m/s only (standard uncertainty), which the interval of the aero load holds.");
        }

        return new(speedEstimate, fromEstimate, fromNorth, statement);
    }

    /// <summary>A direction in which the passes leave more than this share of what was assumed counts as unseen.</summary>
    private const double UnseenShare = 0.5;
}
