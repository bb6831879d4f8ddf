using System.Collections.Immutable;
using System.Globalization;
using Telemetry.Fatigue;

namespace Telemetry.Tests.Fatigue;

/// <summary>How often the forecast's interval holds the laps that a part then really lasts, on parts whose future is known because it is made up.</summary>
/// <remarks>
/// Lap damage is lognormal within a run, runs differ by a lognormal factor, and now and then a lap holds a strike that costs many laps' worth.
/// <c>TELEMETRY_FORECAST_LIVES=n</c> makes n lives a row and prints the table of the stage's README.
/// </remarks>
public class LifeForecastCoverageTests(ITestOutputHelper output)
{
    private static readonly int Lives = int.TryParse(Environment.GetEnvironmentVariable("TELEMETRY_FORECAST_LIVES"), CultureInfo.InvariantCulture, out int n) ? n : 120;

    public static TheoryData<int, int, double, double, double, double, double> Kinds => new()
    {
        // runs, laps a run, spread of laps, spread of runs (of ln damage), chance of a strike a lap, its cost in laps, least share of intervals that must hold.
        // The least shares are 95 % less three standard deviations of the share for 120 lives (0.89) where the past shows all there is, and what the remarks say where it cannot.
        { 3, 12, 0.3, 0.3, 0, 0, 0.89 },
        { 5, 12, 0.3, 0.3, 0, 0, 0.89 },
        { 10, 12, 0.3, 0.3, 0, 0, 0.89 },
        { 20, 12, 0.5, 0.5, 0, 0, 0.89 },
        { 5, 12, 0.3, 0.0, 0, 0, 0.89 },
        { 5, 12, 0.3, 0.3, 0.1, 10, 0.86 },
        { 10, 12, 0.3, 0.3, 0.02, 20, 0.8 },
        { 5, 12, 0.3, 0.3, 0.005, 100, 0.4 },
    };

    [Theory]
    [MemberData(nameof(Kinds))]
    public void The_interval_holds_the_laps_that_the_part_lasts(int runs, int laps, double within, double between, double strikeChance, double strikeLaps, double least)
    {
        int held = 0;
        int below = 0;
        List<double> widths = [];
        double mean = Math.Exp((within * within / 2) + (between * between / 2)) + (strikeChance * strikeLaps);
        for (int life = 0; life < Lives; life++)
        {
            Random random = new((1000 * life) + runs);
            ImmutableArray<RunDamage> past = [.. Enumerable.Range(0, runs).Select(r => new RunDamage($"run {r + 1}", [.. MakeRun(random).Select(d => new LapDamage(d, 5000, true))]))];
            double left = 300 * mean;
            LifeForecast forecast = LifeForecast.From(past, 0, left, new() { Draws = Lives > 200 ? 1000 : 400, Seed = life });
            double truth = LapsUntil(left, random);
            held += truth >= forecast.LapsLeft!.Low95 && truth <= forecast.LapsLeft.High95 ? 1 : 0;
            below += truth < forecast.LapsLeft.Low95 ? 1 : 0;
            widths.Add(forecast.LapsLeft.High95 / forecast.LapsLeft.Low95);
        }

        widths.Sort();
        output.WriteLine(FormattableString.Invariant($"| {runs} x {laps} | {within} | {between} | {strikeChance} x {strikeLaps} | {100.0 * held / Lives:0.0} | {100.0 * below / Lives:0.0} | {widths[Lives / 2]:0.00} |"));
        Assert.True(held >= least * Lives, $"{held} of {Lives}");

        double[] MakeRun(Random random)
        {
            double run = Math.Exp(between * Normal(random));
            return [.. Enumerable.Range(0, laps).Select(_ => (run * Math.Exp(within * Normal(random))) + (random.NextDouble() < strikeChance ? strikeLaps * Math.Exp(0.5 * Normal(random)) / Math.Exp(0.125) : 0))];
        }

        double LapsUntil(double left, Random random)
        {
            double count = 0;
            while (true)
            {
                foreach (double cost in MakeRun(random))
                {
                    if (cost >= left)
                    {
                        return count + (left / cost);
                    }

                    left -= cost;
                    count++;
                }
            }
        }
    }

    private static double Normal(Random random) => Math.Sqrt(-2 * Math.Log(1 - random.NextDouble())) * Math.Cos(2 * Math.PI * random.NextDouble());
}
