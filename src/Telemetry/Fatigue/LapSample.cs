using System.Collections.Immutable;

namespace Telemetry.Fatigue;

/// <summary>The laps that a forecast rests on, by run, checked and added up.</summary>
internal sealed record LapSample(
    ImmutableArray<LapSample.SampleRun> Runs,
    int Laps,
    double Damage,
    bool HasLengths,
    double LargestLap,
    string LargestLapRunId,
    int LargestLapNumber)
{
    /// <summary>One run: its complete laps, and what the laps that are not complete cost and measured.</summary>
    internal sealed record SampleRun(double[] Damage, double[] LengthM, double OtherDamage, double OtherLengthM)
    {
        /// <summary>Damage of the run for each of its complete laps.</summary>
        public double PerLap => (Damage.Sum() + OtherDamage) / Damage.Length;
    }

    /// <summary>Sorts the laps; runs without a complete lap are left out, and so are laps whose damage is not known. Damage below 0 (a cycle that an earlier run had paid for) counts as 0.</summary>
    public static LapSample Of(ImmutableArray<RunDamage> runs)
    {
        var kept = ImmutableArray.CreateBuilder<SampleRun>();
        int laps = 0;
        double sum = 0;
        double largest = 0;
        string largestRun = "";
        int largestNumber = 0;
        bool hasLengths = true;
        foreach (RunDamage run in runs)
        {
            List<double> damage = [];
            List<double> length = [];
            double otherDamage = 0;
            double otherLength = 0;
            double runLargest = 0;
            int runLargestNumber = 0;
            for (int i = 0; i < run.Laps.Length; i++)
            {
                LapDamage lap = run.Laps[i];
                if (!double.IsFinite(lap.Damage))
                {
                    continue;
                }

                double cost = Math.Max(0, lap.Damage);
                if (lap.IsComplete)
                {
                    damage.Add(cost);
                    length.Add(lap.LengthM);
                }
                else
                {
                    otherDamage += cost;
                    otherLength += lap.LengthM;
                }

                if (cost > runLargest)
                {
                    (runLargest, runLargestNumber) = (cost, i + 1);
                }
            }

            if (damage.Count == 0)
            {
                continue;
            }

            SampleRun one = new([.. damage], [.. length], otherDamage, otherLength);
            kept.Add(one);
            laps += damage.Count;
            sum += damage.Sum() + otherDamage;
            hasLengths &= double.IsFinite(length.Sum() + otherLength);
            if (runLargest > largest)
            {
                (largest, largestRun, largestNumber) = (runLargest, run.RunId, runLargestNumber);
            }
        }

        return new(kept.ToImmutable(), laps, sum, hasLengths, largest, largestRun, largestNumber);
    }
}
