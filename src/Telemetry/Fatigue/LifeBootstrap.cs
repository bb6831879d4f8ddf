using MathNet.Numerics.Distributions;

namespace Telemetry.Fatigue;

/// <summary>Draws futures of a part from its past: runs with replacement, laps with replacement within them.</summary>
/// <remarks>
/// Each draw has two steps. First the past is drawn again, run by run (laps of a run are alike, so the run is the block): the mean damage a lap of that draw,
/// against the mean of all, is what is not known about the circuit kind. Few runs make a bootstrap too narrow, so the logarithm of that ratio is
/// stretched by sqrt(R / (R - 1)) and by Student's t over the normal quantile for R - 1 degrees of freedom (the usual correction of a small number of
/// clusters; C. Cameron, J. Gelbach, D. Miller, Review of Economics and Statistics 90 (2008) 414 show the need, from memory). Then the future is run
/// from the drawn runs, lap by lap, until the life is used up; past <see cref="MostFutureRuns"/> runs it goes on at that draw's mean.
/// The 2.5 and 97.5 % points of the draws are the interval; the value is the plain division of what is left by the mean, because the middle of the draws
/// forgets a strike that most draws happen not to hold. How often such an interval holds the truth is measured in the stage's README.
/// </remarks>
internal static class LifeBootstrap
{
    /// <summary>Runs that are run through before the rest is taken at the mean: the scatter of their mean is then a fourteenth of one run's.</summary>
    private const int MostFutureRuns = 200;

    /// <summary>Laps left, and kilometres where lengths are known.</summary>
    public static (Estimate Laps, Estimate? Km) Draw(LapSample sample, double left, ForecastOptions options)
    {
        int runs = sample.Runs.Length;
        double mean = sample.Damage / sample.Laps;
        double stretch = runs > 1
            ? Math.Sqrt(runs / (runs - 1.0)) * StudentT.InvCDF(0, 1, runs - 1, 0.975) / Normal.InvCDF(0, 1, 0.975)
            : 1;
        double[] laps = new double[options.Draws];
        double[] km = new double[options.Draws];
        Draws random = new((ulong)(uint)options.Seed);
        int[] drawn = new int[runs];
        for (int draw = 0; draw < laps.Length; draw++)
        {
            double again = 0;
            int count = 0;
            for (int r = 0; r < runs; r++)
            {
                drawn[r] = random.Below(runs);
                LapSample.SampleRun run = sample.Runs[drawn[r]];
                again += run.OtherDamage;
                count += run.Damage.Length;
                for (int lap = 0; lap < run.Damage.Length; lap++)
                {
                    again += run.Damage[random.Below(run.Damage.Length)];
                }
            }

            // Where the draw holds only laps that cost nothing, the rate is as good as unknown: take what half a lap of the mean would give.
            again = Math.Max(again / count, 0.5 * mean / sample.Laps);
            double rate = mean * Math.Exp(stretch * Math.Log(again / mean));
            (laps[draw], km[draw]) = RunOn(sample, drawn, rate, left, ref random);
        }

        double expected = left / mean;
        double kmPerLap = sample.Runs.Sum(run => run.LengthM.Sum() + run.OtherLengthM) / (1000 * sample.Laps);
        return (Interval(laps, expected), sample.HasLengths ? Interval(km, expected * kmPerLap) : null);
    }

    /// <summary>Runs until the life is used up.</summary>
    /// <param name="sample">The past.</param>
    /// <param name="drawn">Runs of this draw.</param>
    /// <param name="rate">Mean damage a lap of this draw, stretched.</param>
    /// <param name="left">Damage left.</param>
    /// <param name="random">Draws.</param>
    private static (double Laps, double Km) RunOn(LapSample sample, int[] drawn, double rate, double left, ref Draws random)
    {
        double drawnMean = 0;
        int drawnLaps = 0;
        double drawnLength = 0;
        foreach (int r in drawn)
        {
            drawnMean += sample.Runs[r].Damage.Sum() + sample.Runs[r].OtherDamage;
            drawnLaps += sample.Runs[r].Damage.Length;
            drawnLength += sample.Runs[r].LengthM.Sum() + sample.Runs[r].OtherLengthM;
        }

        // The drawn runs are scaled so that their mean is this draw's rate.
        double scale = drawnMean > 0 ? rate * drawnLaps / drawnMean : 0;
        double laps = 0;
        double metres = 0;
        if (scale > 0)
        {
            for (int run = 0; run < MostFutureRuns; run++)
            {
                LapSample.SampleRun next = sample.Runs[drawn[random.Below(drawn.Length)]];

                // The way out and back is spread over the run's laps: where in a run the life ends does not hang on it.
                double other = next.OtherDamage / next.Damage.Length;
                double otherLength = next.OtherLengthM / next.Damage.Length;
                for (int lap = 0; lap < next.Damage.Length; lap++)
                {
                    int at = random.Below(next.Damage.Length);
                    double cost = scale * (next.Damage[at] + other);
                    double length = next.LengthM[at] + otherLength;
                    if (cost >= left)
                    {
                        double share = left / cost;
                        return (laps + share, (metres + (share * length)) / 1000);
                    }

                    left -= cost;
                    laps++;
                    metres += length;
                }
            }
        }

        double more = left / rate;
        return (laps + more, (metres + (more * drawnLength / drawnLaps)) / 1000);
    }

    private static Estimate Interval(double[] draws, double value)
    {
        Array.Sort(draws);
        return new(value, Math.Min(value, At(draws, 0.025)), Math.Max(value, At(draws, 0.975)));
    }

    private static double At(double[] sorted, double probability)
    {
        double at = probability * (sorted.Length - 1);
        int low = (int)at;
        return low + 1 < sorted.Length ? sorted[low] + ((at - low) * (sorted[low + 1] - sorted[low])) : sorted[low];
    }

    /// <summary>SplitMix64 (G. Steele, D. Lea, C. Flood, OOPSLA 2014): the same draws for the same seed on every machine.</summary>
    internal struct Draws(ulong seed)
    {
        private ulong state = seed;

        /// <summary>A whole number from 0 to one below the bound; the bias of the multiplication is below 1e-15 here.</summary>
        public int Below(int bound)
        {
            state += 0x9E3779B97F4A7C15;
            ulong z = state;
            z = (z ^ (z >> 30)) * 0xBF58476D1CE4E5B9;
            z = (z ^ (z >> 27)) * 0x94D049BB133111EB;
            return (int)Math.BigMul(z ^ (z >> 31), (ulong)bound, out _);
        }
    }
}
