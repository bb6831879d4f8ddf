using System.Collections.Immutable;
using Telemetry.Aero;
using Telemetry.Comparison;
using Telemetry.Health;

namespace Telemetry.Tests.Comparison;

/// <summary>A fast statistical model of the passes of a run: what the aero stage would hand on, with errors of known size and nothing else.</summary>
internal sealed record ModelWorld
{
    public const double SpeedMps = 75;
    public const double Density = 1.19;
    public const double FrontArea = 1.45;
    public const double RearArea = 1.95;

    /// <summary>Three straights as on a circuit, by start and heading.</summary>
    private static readonly (double StartM, double HeadingRad)[] Straights = [(120, 0.3), (1210, 2.5), (2290, 4.5)];

    public int Laps { get; init; } = 6;

    /// <summary>Steady wind of the day, m/s, from a direction that is drawn anew.</summary>
    public double WindMps { get; init; }

    /// <summary>Standard deviation of each component of its shift from run to run, m/s.</summary>
    public double WindShiftMps { get; init; }

    /// <summary>Standard deviation of the head wind from pass to pass, m/s.</summary>
    public double GustMps { get; init; }

    /// <summary>Standard deviation of an axle's zero from run to run beyond what the budget says, N.</summary>
    public double ZeroWalkN { get; init; }

    /// <summary>Drift of the front and rear zero from each run to the next, N.</summary>
    public double ZeroDriftN { get; init; }

    /// <summary>Scatter of a lift area from window to window, share.</summary>
    public double WindowShare { get; init; } = 0.006;

    /// <summary>True when the car's own sensors log the weather: their error is then one for all runs and only 0.1 % is each run's own. False when it is noted by hand, and errs anew in each run.</summary>
    public bool WeatherIsLogged { get; init; } = true;

    public double ZeroUncertaintyN { get; init; } = 15;

    private static double Share => 100 * FrontArea / (FrontArea + RearArea);

    /// <summary>Runs in order; the share is the true change of both lift areas in each.</summary>
    public ImmutableArray<RunEvidence> Draw(Random random, params double[] changes)
    {
        double from = random.NextDouble() * 2 * Math.PI;
        double[] road = [.. Straights.Select(_ => 0.005 * Normal(random))];
        double north = WindMps * Math.Cos(from), east = WindMps * Math.Sin(from);
        double sensors = 0.0035 * Normal(random);
        double walkFront = 0, walkRear = 0;
        var runs = ImmutableArray.CreateBuilder<RunEvidence>();
        double pressure = Density * SpeedMps * SpeedMps / 2;
        for (int r = 0; r < changes.Length; r++)
        {
            double density = WeatherIsLogged ? 1 + sensors + (0.001 * Normal(random)) : 1 + (0.0036 * Normal(random));
            double frontZero = ((ZeroUncertaintyN * Math.Sqrt(2) * Normal(random)) + walkFront) / pressure;
            double rearZero = ((ZeroUncertaintyN * Math.Sqrt(2) * Normal(random)) + walkRear) / pressure;
            walkFront += ZeroDriftN + (ZeroWalkN * Normal(random));
            walkRear += ZeroDriftN + (ZeroWalkN * Normal(random));
            var passes = ImmutableArray.CreateBuilder<PassEvidence>();
            for (int lap = 1; lap <= Laps; lap++)
            {
                for (int s = 0; s < Straights.Length; s++)
                {
                    (double sine, double cosine) = Math.SinCos(Straights[s].HeadingRad);
                    double wind = (north * cosine) + (east * sine) + (GustMps * Normal(random));
                    double flow = (1 + (wind / SpeedMps)) * (1 + (wind / SpeedMps)) * (1 + road[s]) * density;
                    passes.Add(new(
                        passes.Count + 1, lap, Straights[s].StartM + (20 * Normal(random)), Straights[s].HeadingRad + (0.01 * Normal(random)),
                        Mean((FrontArea * (1 + changes[r]) * flow) + frontZero, FrontArea, random),
                        Mean((RearArea * (1 + changes[r]) * flow) + rearZero, RearArea, random),
                        PassMean.None, PassMean.None, PassMean.None));
                }
            }

            RunEvidence run = Run($"run {r + 1}", passes.ToImmutable(), changes[r]);
            runs.Add(WeatherIsLogged ? run : run with { Air = run.Air with { DensityKgM3 = Density * (1 + (1e-4 * r)) } });
            north += WindShiftMps * Normal(random);
            east += WindShiftMps * Normal(random);
        }

        return runs.ToImmutable();
    }

    public static double Normal(Random random) =>
        Math.Sqrt(-2 * Math.Log(1 - random.NextDouble())) * Math.Cos(2 * Math.PI * random.NextDouble());

    /// <summary>A run whose own estimate is right, with the half width that the aero stage gives at six to eight laps: 1.5 %.</summary>
    public RunEvidence Run(string name, ImmutableArray<PassEvidence> passes, double change = 0)
    {
        double pressure = Density * SpeedMps * SpeedMps / 2;
        return new()
        {
            Name = name,
            Laps = Laps,
            Basis = [new("wheelbase", "3 m")],
            Setup = [new("static ride height front", "0.03 m")],
            Verdict = HealthVerdict.Good,
            ReferenceSpeedMps = SpeedMps,
            Headline = new(
                SpeedMps, Own(FrontArea * pressure), Own(RearArea * pressure), Own((FrontArea + RearArea) * pressure),
                Own(FrontArea), Own(RearArea), Own(FrontArea + RearArea), new(Share, Share - 0.7, Share + 0.7)),
            Air = new(Density, 0.0036 * Density, WeatherIsLogged ? "log" : "car file", false),
            MeasuresAirSpeed = false,
            HeadingIsTrue = true,
            Passes = passes,
            Budget =
            [
                new("zero FL", ZeroUncertaintyN, 0, ZeroUncertaintyN), new("zero FR", ZeroUncertaintyN, 0, ZeroUncertaintyN),
                new("zero RL", 0, ZeroUncertaintyN, ZeroUncertaintyN), new("zero RR", 0, ZeroUncertaintyN, ZeroUncertaintyN),
                new("gain FL", 9, 0, 9), new("place of the centre of gravity", 60, 60, 0),
                new("wind that the passes do not tell", 5, 8, 13),
            ],
            MassKg = 660,
            NoDragBecause = "The log has no throttle.",
        };

        Estimate Own(double value) => new(value * (1 + change), 0.985 * value * (1 + change), 1.015 * value * (1 + change));
    }

    private PassMean Mean(double value, double level, Random random)
    {
        const int windows = 10;
        const double spread = 700;
        double sd = WindowShare * level;
        double xx = windows * spread * spread;
        double slope = (-1e-5 * level) + (sd / Math.Sqrt(xx) * Normal(random));
        double square = (SpeedMps * SpeedMps) + (60 * Normal(random));
        return new(
            value + (sd / Math.Sqrt(windows) * Normal(random)) + (-1e-5 * level * (square - (SpeedMps * SpeedMps))),
            square, xx, slope * xx, (slope * slope * xx) + (sd * sd * (windows - 2)), windows);
    }
}
