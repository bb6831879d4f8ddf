using Telemetry.Car;
using Telemetry.Runs;

namespace Telemetry.Health;

/// <summary>Channels whose clocks run apart: the same braking seen ever later or earlier in one of them.</summary>
/// <remarks>
/// The longitudinal accelerometer, the rate of change of speed, and the pitch of the loads (front pair less rear pair) all show each braking. In windows of 20 s the lag
/// between two of them is where their correlation is largest; a straight line through the lags by least squares gives the drift and its standard error (Student).
/// A constant lag is a filter's or a message's and no drift. The accelerometer is in both pairs: if both drift, it is off; if one does, its partner.
/// </remarks>
internal static class ClockDrift
{
    private const double RateHz = 25;
    private const double WindowS = 20;
    private const double MostLagS = 1;
    private const int FewestWindows = 5;

    public static IEnumerable<HealthFinding> Find(Run run, HealthOptions options)
    {
        if (!run.Has(ChannelRole.Speed) || !run.Has(ChannelRole.AccelerationX))
        {
            yield break;
        }

        double[] forward = Signal(run, ChannelRole.AccelerationX);
        double[] slowing = Slope(Signal(run, ChannelRole.Speed));
        double[] pitch = Pitch(run);
        Line? speedLine = LineOf(forward, slowing);
        Line? loadLine = LineOf(forward, pitch);
        bool speedOff = IsDrift(speedLine, run, options);
        bool loadOff = IsDrift(loadLine, run, options);
        if (!speedOff && !loadOff)
        {
            yield break;
        }

        // Both pairs drift: what they share. One drifts and the other does not: the one that is only in the first. The other pair is not known: no name.
        (ChannelRole? role, string name, Line line) =
            speedOff && loadOff ? (ChannelRole.AccelerationX, run.Find(ChannelRole.AccelerationX)!.SourceName, speedLine!)
            : speedOff && loadLine is not null ? (ChannelRole.Speed, run.Find(ChannelRole.Speed)!.SourceName, speedLine!)
            : ((ChannelRole?)null, "log", speedOff ? speedLine! : loadLine!);
        double wholeMs = 1000 * line.SlopePerS * (run.Clock.LastS - run.Clock.StartS);
        string subject = role is not null ? "It and the other channels" : speedOff ? "Speed and longitudinal acceleration" : "The load cells and the other channels";
        yield return new HealthFinding(
            name,
            "clock_drift",
            HealthVerdict.Doubtful,
            double.NaN,
            double.NaN,
            FormattableString.Invariant($"{subject} run apart by {Math.Abs(wholeMs):0} ms from the first to the last minute (standard error {1000 * line.ErrorPerS * (run.Clock.LastS - run.Clock.StartS):0} ms): their clocks differ by {1e6 * Math.Abs(line.SlopePerS):0} parts in a million."),
            "Places on the lap, quasi-steady windows and pairing of strikes are shifted, most at the end of the run.",
            "Put the channels on one clock: one logger, or loggers synchronised at start and end.")
        {
            Role = role,
        };
    }

    private static bool IsDrift(Line? line, Run run, HealthOptions options) =>
        line is not null
        && Math.Abs(line.SlopePerS) * (run.Clock.LastS - run.Clock.StartS) > options.DriftS
        && Math.Abs(line.SlopePerS) > options.DriftErrors * line.ErrorPerS;

    /// <summary>A channel on the clock, averaged down to 25 Hz.</summary>
    private static double[] Signal(Run run, ChannelRole role) => Down(run, run.OnClock(role));

    private static double[] Pitch(Run run)
    {
        double[]? pitch = null;
        foreach (Corner corner in Corners.All)
        {
            SampleSource load = run.OnClock(ChannelRoles.PushrodLoad(corner));
            if (load.IsEmpty)
            {
                return [];
            }

            double[] down = Down(run, load);
            pitch ??= new double[down.Length];
            for (int i = 0; i < down.Length; i++)
            {
                // Braking loads the front: with this sign the pitch rises with forward acceleration, as the other two do.
                pitch[i] += corner.Axle() == Axle.Front ? -down[i] : down[i];
            }
        }

        return pitch!;
    }

    private static double[] Down(Run run, SampleSource source)
    {
        SampleCursor samples = source.Cursor();
        int by = Decimation(run);
        double[] down = new double[samples.Length / by];
        for (int k = 0; k < down.Length; k++)
        {
            // A few samples of each step are enough: what is looked for lasts tenths of a second.
            double sum = 0;
            int count = 0;
            for (int i = k * by; i < (k + 1) * by; i += Math.Max(1, by / 5))
            {
                sum += samples[i];
                count++;
            }

            down[k] = sum / count;
        }

        return down;
    }

    private static int Decimation(Run run) => Math.Max(1, (int)Math.Round(run.Clock.RateHz / RateHz));

    private static double[] Slope(double[] samples)
    {
        double[] slope = new double[samples.Length];
        for (int i = 1; i + 1 < slope.Length; i++)
        {
            slope[i] = (samples[i + 1] - samples[i - 1]) * RateHz / 2;
        }

        return slope;
    }

    private static Line? LineOf(double[] one, double[] other)
    {
        List<(double TimeS, double LagS)> lags = [];
        int window = (int)(WindowS * RateHz);
        int most = (int)(MostLagS * RateHz);
        for (int from = most; from + window + most < Math.Min(one.Length, other.Length); from += window)
        {
            double lag = BestLag(one, other, from, window, most);
            if (double.IsFinite(lag))
            {
                lags.Add(((from + (window / 2.0)) / RateHz, lag / RateHz));
            }
        }

        return lags.Count < FewestWindows ? null : Line.Through(lags);
    }

    /// <summary>Lag in samples at which the correlation is largest, between samples by a parabola; NaN where the two hardly correlate.</summary>
    private static double BestLag(double[] one, double[] other, int from, int window, int most)
    {
        const double leastCorrelation = 0.8;
        double[] correlation = new double[(2 * most) + 1];
        int best = 0;
        for (int k = 0; k < correlation.Length; k++)
        {
            correlation[k] = Correlation(one.AsSpan(from, window), other.AsSpan(from + k - most, window));
            best = correlation[k] > correlation[best] ? k : best;
        }

        if (best == 0 || best == correlation.Length - 1 || !(correlation[best] > leastCorrelation))
        {
            return double.NaN;
        }

        double before = correlation[best - 1];
        double after = correlation[best + 1];
        double bend = before - (2 * correlation[best]) + after;
        return best - most + (bend < 0 ? (before - after) / (2 * bend) : 0);
    }

    private static double Correlation(ReadOnlySpan<double> x, ReadOnlySpan<double> y)
    {
        double sumX = 0, sumY = 0, sumXX = 0, sumYY = 0, sumXY = 0;
        for (int i = 0; i < x.Length; i++)
        {
            sumX += x[i];
            sumY += y[i];
            sumXX += x[i] * x[i];
            sumYY += y[i] * y[i];
            sumXY += x[i] * y[i];
        }

        double n = x.Length;
        return ((n * sumXY) - (sumX * sumY)) / Math.Sqrt(((n * sumXX) - (sumX * sumX)) * ((n * sumYY) - (sumY * sumY)));
    }

    /// <summary>A straight line by least squares.</summary>
    /// <param name="SlopePerS">Drift, s per s.</param>
    /// <param name="ErrorPerS">Its standard error.</param>
    private sealed record Line(double SlopePerS, double ErrorPerS)
    {
        public static Line Through(List<(double TimeS, double LagS)> points)
        {
            double meanT = points.Average(point => point.TimeS);
            double meanL = points.Average(point => point.LagS);
            double spread = points.Sum(point => (point.TimeS - meanT) * (point.TimeS - meanT));
            double slope = points.Sum(point => (point.TimeS - meanT) * (point.LagS - meanL)) / spread;
            double rest = points.Sum(point => Square(point.LagS - meanL - (slope * (point.TimeS - meanT))));
            return new(slope, Math.Sqrt(rest / (points.Count - 2) / spread));
        }

        private static double Square(double value) => value * value;
    }
}
