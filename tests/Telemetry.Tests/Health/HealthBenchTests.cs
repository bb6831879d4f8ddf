using System.Globalization;
using Telemetry.Health;

namespace Telemetry.Tests.Health;

/// <summary>
/// How often channel health errs, measured on simulated runs. Normally a few seeds; with the environment variable TELEMETRY_HEALTH_SEEDS the number given,
/// and the whole table is printed: src/Telemetry/Health/README.md has the one of 100 seeds.
/// </summary>
public class HealthBenchTests(ITestOutputHelper output)
{
    private const int UsualSeeds = 6;

    // Seeds whose runs are logged at 1000 Hz, which is what the sizes of the faults are stated for.
    private static readonly int[] UsualFaultSeeds = [0, 1, 2];

    private static readonly int? AskedSeeds =
        int.TryParse(Environment.GetEnvironmentVariable("TELEMETRY_HEALTH_SEEDS"), NumberStyles.None, CultureInfo.InvariantCulture, out int seeds) ? seeds : null;

    [Fact]
    public void Clean_runs_raise_no_finding()
    {
        int count = AskedSeeds ?? UsualSeeds;
        var found = new string?[count];
        Parallel.For(0, count, seed =>
        {
            BenchRun run = AskedSeeds is null ? BenchRuns.Of(seed) : BenchRuns.Make(seed, BenchRuns.RateOf(seed));
            HealthFinding[] wrong = [.. HealthBench.FalseAlarms(run)];
            found[seed] = wrong.Length == 0 ? null : $"seed {seed}: " + string.Join(" ", wrong.Select(finding => $"{finding.Channel} {finding.Kind}: {finding.Message}"));
        });
        string[] alarms = [.. found.OfType<string>()];
        output.WriteLine($"{alarms.Length} of {count} clean runs raise a finding.");
        Assert.True(alarms.Length <= count / 100, string.Join(Environment.NewLine, alarms));
    }

    [Fact]
    public void Injected_faults_are_seen_as_often_as_the_table_says()
    {
        if (AskedSeeds is not int count)
        {
            EachOnce();
            return;
        }

        int[] seen = new int[HealthBench.Faults.Length];
        Parallel.For(0, count, seed =>
        {
            BenchRun run = HealthBench.Lean(BenchRuns.Make(seed, 1000));
            for (int k = 0; k < seen.Length; k++)
            {
                if (HealthBench.Sees(run, HealthBench.Faults[k]))
                {
                    Interlocked.Increment(ref seen[k]);
                }
            }
        });
        List<string> tooFew = [];
        for (int k = 0; k < seen.Length; k++)
        {
            BenchFault fault = HealthBench.Faults[k];
            output.WriteLine($"| {fault.Name} | {fault.Size} | {string.Join(", ", fault.Kinds)} | {seen[k]} of {count} |");

            // One miss is allowed beside the stated share: with so few runs the share itself scatters.
            if (seen[k] + 1 < fault.LeastShare * count)
            {
                tooFew.Add($"{fault.Name}, {fault.Size}: {seen[k]} of {count}");
            }
        }

        Assert.True(tooFew.Count == 0, string.Join(Environment.NewLine, tooFew));
    }

    /// <summary>Every fault in one run: those that are seen nearly always must be seen, but for two that may hit the few runs where they are not.</summary>
    private static void EachOnce()
    {
        BenchFault[] sure = [.. HealthBench.Faults.Where(fault => fault.LeastShare >= 0.9)];
        var missed = new string?[sure.Length];
        Parallel.For(0, sure.Length, k =>
        {
            BenchRun run = HealthBench.Lean(BenchRuns.Of(UsualFaultSeeds[k % UsualFaultSeeds.Length]));
            missed[k] = HealthBench.Sees(run, sure[k]) ? null : $"{sure[k].Name}, {sure[k].Size}, seed {run.Seed}";
        });
        string[] all = [.. missed.OfType<string>()];
        Assert.True(all.Length <= 2, string.Join(Environment.NewLine, all));
    }
}
