namespace Telemetry.Aero;

/// <summary>Says what the wind was taken to be.</summary>
internal static class WindReport
{
    public static WindState Of(AeroFit fit, AeroOptions options, bool measuresAir, bool headingKnown, bool fromNorth, double spreadRad)
    {
        if (measuresAir)
        {
            return new(null, null, fromNorth, "The air-speed channel was used, so no wind had to be known.");
        }

        double assumed = options.AssumedWindMps;
        if (!fit.Model.HasWind)
        {
            string why = headingKnown
                ? FormattableString.Invariant($"the straights' headings differ by only {spreadRad * 180 / Math.PI:0} degrees")
                : "the headings of the straights are not known";
            return new(null, null, fromNorth, FormattableString.Invariant(
                $"No steady wind was assumed, because {why}; the intervals allow for a head wind of {assumed:0.#} m/s standard uncertainty."));
        }

        int first = 2 * fit.Model.PerAxle;
        double north = fit.Theta[first];
        double east = fit.Theta[first + 1];
        double speed = Math.Sqrt((north * north) + (east * east));
        double from = Headings.Wrap(Math.Atan2(east, north));
        var along = MathNet.Numerics.LinearAlgebra.Vector<double>.Build.Dense(fit.Model.Count);
        var across = along.Clone();
        along[first] = speed > 0 ? north / speed : 1;
        along[first + 1] = speed > 0 ? east / speed : 0;
        across[first] = -along[first + 1];
        across[first + 1] = along[first];
        double speedHalf = Half(fit, along);
        double angleHalf = Math.Min(Math.PI, Half(fit, across) / Math.Max(speed, 1e-9));
        Estimate speedEstimate = new(speed, Math.Max(0, speed - speedHalf), speed + speedHalf);
        Estimate fromEstimate = new(from, from - angleHalf, from + angleHalf);
        string direction = fromNorth ? "from" : "from, counted from an arbitrary direction,";
        string statement = FormattableString.Invariant(
            $"Wind {speed:0.0} m/s (95 % {speedEstimate.Low95:0.0} to {speedEstimate.High95:0.0}) {direction} {from * 180 / Math.PI:0} degrees, estimated from straights up to {spreadRad * 180 / Math.PI:0} degrees apart; it scatters by {fit.GustMps:0.0} m/s from pass to pass.");
        return new(speedEstimate, fromEstimate, fromNorth, statement);
    }

    private static double Half(AeroFit fit, MathNet.Numerics.LinearAlgebra.Vector<double> contrast) =>
        StudentQuantile.Coverage95(Math.Max(1, fit.Covariance.DegreesOfFreedom(contrast))) * Math.Sqrt(Math.Max(0, fit.Covariance.Variance(contrast)));
}
