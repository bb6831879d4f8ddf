using Telemetry.Aero;
using Telemetry.Car;

namespace Telemetry.Tests.Aero;

/// <summary>How often the 95 % interval holds the truth when every error is drawn anew in each run.</summary>
public class CoverageTests
{
    /// <summary>What is drawn in a run.</summary>
    public sealed record Weather(string Name, double SteadyMps, double GustMps);

    private const double ZeroN = 20;
    private const double Gain = 0.003;
    private const double DensityShare = 0.0036;
    private const double DriftMps2 = 0.03;

    /// <summary>Small enough for every build: with a true coverage of 95 %, fewer than 32 of 40 happen once in 5,000 (binomial).</summary>
    [Theory]
    [InlineData(0, 0, 2)]
    [InlineData(5, 1, 2)]
    public void The_interval_holds_the_truth_as_often_as_it_says(double steadyMps, double gustMps, int laps)
    {
        Count count = Run(new("", steadyMps, gustMps), laps, 3, 40, 1);
        Assert.InRange(count.Front, 32, 40);
        Assert.InRange(count.Rear, 32, 40);
        Assert.InRange(count.Total, 32, 40);
        Assert.InRange(count.Balance, 32, 40);

        // Honest, not bloated: nobody can use a lift area that is known to 15 %.
        Assert.True(count.HalfWidthPct < 15, FormattableString.Invariant($"{count.HalfWidthPct} %"));
    }

    private static Count Run(Weather weather, int laps, int straights, int runs, int firstSeed)
    {
        double[] headings = straights == 2 ? [0.35, 0.35 + Math.PI] : [0.35, 0.35 + (130 * Math.PI / 180), 0.35 + (250 * Math.PI / 180)];
        CarDefinition car = DrivenRun.Default with
        {
            Channels = [.. Corners.All.Select(c => new ChannelMapping { Role = ChannelRoles.PushrodLoad(c), Name = c.Code(), GainUncertainty = Gain })],
        };
        int[] inside = new int[4];
        double width = 0;
        double error = 0;
        for (int k = 0; k < runs; k++)
        {
            Random random = new(firstSeed + k);
            double Draw(double deviation) => deviation * DrivenRun.Normal(random);
            DrivenRun run = new()
            {
                Car = car,
                Laps = laps,
                HeadingsRad = headings,
                NoiseN = 300,
                Seed = (ulong)(firstSeed + k),
                WindMps = weather.SteadyMps,
                WindFromRad = Math.Tau * random.NextDouble(),
                GustMps = weather.GustMps,
                PerFrontHeight = Draw(10),
                PerRearHeight = Draw(10),
                ZeroUncertaintyN = ZeroN,
                LoadErrorN = [Draw(0.8 * ZeroN), Draw(0.8 * ZeroN), Draw(0.75 * ZeroN), Draw(0.75 * ZeroN)],
                GainError = [Draw(Gain), Draw(Gain), Draw(Gain), Draw(Gain)],
                DensityError = Draw(DensityShare),
                DriftX = Draw(DriftMps2),
                DriftZ = Draw(DriftMps2),
            };
            AeroAtSpeed at = AeroEstimate.From(run.Build(), AeroOptions.Default).AtReference!;
            (double front, double rear) = run.Truth(at.SpeedMps);
            double total = front + rear;
            inside[0] += Holds(at.FrontLiftAreaM2, front);
            inside[1] += Holds(at.RearLiftAreaM2, rear);
            inside[2] += Holds(at.TotalLiftAreaM2, total);
            inside[3] += Holds(at.BalanceFrontPct, 100 * front / total);
            width += 100 * at.TotalLiftAreaM2.HalfWidth / total / runs;
            error += 100 * ((at.TotalLiftAreaM2.Value / total) - 1) / runs;
        }

        return new(inside[0], inside[1], inside[2], inside[3], width, error);
    }

    private static int Holds(Estimate estimate, double truth) => truth >= estimate.Low95 && truth <= estimate.High95 ? 1 : 0;

    private sealed record Count(int Front, int Rear, int Total, int Balance, double HalfWidthPct, double ErrorPct);
}
