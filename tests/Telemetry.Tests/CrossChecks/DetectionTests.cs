using System.Collections.Concurrent;
using System.Globalization;
using System.Text;
using Telemetry.Car;
using Telemetry.CrossChecks;
using Telemetry.Health;
using Telemetry.Logs;

namespace Telemetry.Tests.CrossChecks;

/// <summary>
/// Faults of stated sizes put into simulated logs, and clean logs that must stay quiet. The simulator shares no estimating code with the library, and nothing was tuned on
/// these seeds. A few seeds run always; TELEMETRY_HEALTH_SEEDS=100 runs as many as the table in src/Telemetry/CrossChecks/README.md states and writes it under .artifacts.
/// </summary>
public class DetectionTests
{
    private static readonly int? Seeds = int.TryParse(Environment.GetEnvironmentVariable("TELEMETRY_HEALTH_SEEDS"), CultureInfo.InvariantCulture, out int seeds) ? seeds : null;

    [Fact]
    public void A_clean_log_raises_no_alarm()
    {
        int runs = Seeds ?? 4;
        int alarms = 0;
        StringBuilder seen = new();
        Parallel.For(0, runs, new ParallelOptions { MaxDegreeOfParallelism = 2 }, k =>
        {
            (RunLog log, CarDefinition car) = SimulatedLogs.Vary(k, Seeds is null ? 2 : 3 + (k % 3));
            CrossCheckResult result = SimulatedLogs.Check(log, car);
            lock (seen)
            {
                alarms += result.Findings.Any(finding => finding.Severity != HealthVerdict.Good) ? 1 : 0;
                seen.AppendLine(CultureInfo.InvariantCulture, $"{k}: {string.Join(" | ", result.Findings.Select(finding => finding.Message))}");
                Assert.NotEmpty(result.Checks);
            }
        });

        // Below 1 % a run is what is promised; a hundred clean runs may have none at that.
        Assert.True(alarms <= runs / 101, seen.ToString());
    }

    [Fact]
    public void Reversed_and_exchanged_sensors_and_wrong_units_are_always_found_and_named()
    {
        (RunLog log, CarDefinition car) = SimulatedLogs.Keep(2, 200, 3);
        Assert.All(Gross(), fault =>
        {
            CrossCheckResult result = SimulatedLogs.Check(fault.Apply(log, car), car);
            Assert.Equal(fault.Roles.Order(), result.Findings.Where(finding => finding.Severity == HealthVerdict.Unusable).Select(finding => finding.Role!.Value).Order());
        });
    }

    [Fact]
    public void Detection_of_faults_of_stated_sizes_is_as_published()
    {
        int seeds = Seeds ?? 1;
        ConcurrentDictionary<string, Row> rows = new();
        
        // The gross ones have their own test; of the others every second is enough for a few seeds.
        string[] gross = [.. Gross().Select(fault => fault.Name)];
        SensorInjection[] faults = Seeds is not null ? [.. SensorInjection.All()] : [.. SensorInjection.All().Where(fault => !gross.Contains(fault.Name)).Where((_, i) => i % 2 == 0)];
        Parallel.For(0, seeds, new ParallelOptions { MaxDegreeOfParallelism = 2 }, k =>
        {
            (RunLog log, CarDefinition car) = SimulatedLogs.Keep(k + 1, 200, 4);
            foreach (SensorInjection fault in faults)
            {
                Outcome outcome = Outcome.Of(fault, log, car);
                rows.AddOrUpdate(fault.Name, _ => new Row(0).With(outcome), (_, row) => row.With(outcome));
            }
        });

        string table = Table(faults.Select(fault => fault.Name).Distinct().Select(name => (name, rows[name])));
        if (Seeds is not null)
        {
            Directory.CreateDirectory(Path.Combine(Repository.Root, ".artifacts"));
            File.WriteAllText(Path.Combine(Repository.Root, ".artifacts", "cross_check_detection.md"), table);
        }

        // What the README promises of each; the rest of the table is information.
        foreach ((string name, double least) in new[]
        {
            ("load cell, gain 20 %", 0.99), ("load cell, gain 10 %", 0.6), ("damper, gain 20 %", 0.6), ("load cell, offset 10 % of range", 0.99),
            ("load cell, offset 5 % of range", 0.99), ("accelerometer tilted by 5 deg", 0.99), ("speed, factor 5 %", 0.99), ("speed, factor 10 %", 0.99),
        })
        {
            Assert.True(rows[name].Named >= least * rows[name].Runs, $"{name}: too few are named.\n{table}");
        }

        Assert.All(gross.Where(rows.ContainsKey), name => Assert.Equal(rows[name].Runs, rows[name].First));
    }

    private static IEnumerable<SensorInjection> Gross() => SensorInjection.All().Where(fault =>
        fault.Name.EndsWith(", sign", StringComparison.Ordinal) || fault.Name.Contains(" for ", StringComparison.Ordinal) || fault.Name.Contains("exchanged", StringComparison.Ordinal));

    private static string Table(IEnumerable<(string Name, Row Row)> rows)
    {
        StringBuilder table = new();
        table.AppendLine("| fault | logs | found % | unusable % | named % | named first % | others named too % |").AppendLine("|---|---|---|---|---|---|---|");
        foreach ((string name, Row row) in rows)
        {
            table.AppendLine(CultureInfo.InvariantCulture, $"| {name} | {row.Runs} | {Pct(row.Found)} | {Pct(row.Unusable)} | {Pct(row.Named)} | {Pct(row.First)} | {Pct(row.Others)} |");

            string Pct(int count) => (100.0 * count / row.Runs).ToString("0.#", CultureInfo.InvariantCulture);
        }

        return table.ToString();
    }

    private sealed record Row(int Runs, int Found = 0, int Unusable = 0, int Named = 0, int First = 0, int Others = 0)
    {
        public Row With(Outcome one) => new(Runs + 1, Found + Of(one.Found), Unusable + Of(one.Unusable), Named + Of(one.Named), First + Of(one.First), Others + Of(one.Others));

        private static int Of(bool is1) => is1 ? 1 : 0;
    }

    private sealed record Outcome(bool Found, bool Unusable, bool Named, bool First, bool Others)
    {
        public static Outcome Of(SensorInjection fault, RunLog log, CarDefinition car)
        {
            CrossCheckResult result = SimulatedLogs.Check(fault.Apply(log, car), car);
            return new(
                result.Findings.Any(finding => finding.Severity != HealthVerdict.Good),
                result.Findings.Any(finding => finding.Severity == HealthVerdict.Unusable),
                fault.Roles.All(role => result.Findings.Any(finding => finding.Role == role)),
                result.Suspects.Length > 0 && result.Suspects[0].Roles.Order().SequenceEqual(fault.Roles.Order()),
                result.Findings.Any(finding => finding.Role is { } role && !fault.Roles.Contains(role)));
        }
    }
}
