using MathNet.Numerics.Distributions;

namespace Telemetry.Review;

/// <summary>Whether a reading has left its own history.</summary>
/// <remarks>
/// The new value against the mean of the earlier ones: t = (x - m) / (s sqrt(1 + 1/k)), with s the larger of the earlier runs' scatter and the readings' own stated
/// uncertainty, and k - 1 degrees of freedom (prediction interval of one further value, e.g. NIST/SEMATECH e-Handbook, from memory). At least three earlier runs:
/// with fewer the scatter from run to run is not known and nothing is claimed.
/// </remarks>
/// <param name="Runs">Earlier runs.</param>
/// <param name="MeanBefore">Their mean.</param>
/// <param name="Change">New value over that mean, less 1.</param>
/// <param name="T">The statistic.</param>
/// <param name="FalseAlarm">Probability of so large a statistic, either way, if nothing had changed.</param>
internal readonly record struct ReadingDrift(int Runs, double MeanBefore, double Change, double T, double FalseAlarm)
{
    public const int FewestRuns = 3;

    public static ReadingDrift? Of(RunReading now, RunReading[] before)
    {
        int k = before.Length;
        if (k < FewestRuns)
        {
            return null;
        }

        double mean = before.Average(past => past.Value);
        double scatter = Math.Sqrt(before.Sum(past => (past.Value - mean) * (past.Value - mean)) / (k - 1));
        double stated = Math.Sqrt(before.Append(now).Average(reading => double.IsFinite(reading.StandardUncertainty) ? reading.StandardUncertainty * reading.StandardUncertainty : 0));
        double s = Math.Max(scatter, stated);
        if (!(s > 0))
        {
            return null;
        }

        double t = (now.Value - mean) / (s * Math.Sqrt(1 + (1.0 / k)));
        return new(k, mean, (now.Value / mean) - 1, t, 2 * StudentT.CDF(0, 1, k - 1, -Math.Abs(t)));
    }
}
