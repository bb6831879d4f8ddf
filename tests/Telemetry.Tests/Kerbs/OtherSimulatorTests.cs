using Telemetry.Car;
using Telemetry.Kerbs;
using Telemetry.Logs;
using Telemetry.Tests.Fatigue;
using Telemetry.WheelLoads;

namespace Telemetry.Tests.Kerbs;

/// <summary>Kerbs, bumps, the floor and spikes in loads from a second, plain generator that shares nothing with the simulator.</summary>
/// <remarks>
/// Each wheel is one mass on a tyre under a fixed body: a second-order system at 15 Hz with a damping ratio of 0.25, stepped by the trapezoidal rule at 1 kHz, excited by the
/// road height under it; its load is its travel times a rate and its speed times a damper. The other wheel of the axle gets -0.15 of it (a bar), the road is a random walk in
/// height, independent left and right. Nothing was tuned on its seeds.
/// </remarks>
public class OtherSimulatorTests
{
    private const double Speed = 45;
    private const double WheelbaseM = 3;
    private const int Count = 180_000;

    private enum Kind
    {
        Left,
        Right,
        Bump,
        Floor,
    }

    [Fact]
    public void Events_of_another_generator_are_told_as_well()
    {
        int truths = 0, found = 0, reported = 0, bumps = 0, bumpsNamed = 0, floors = 0, floorsNamed = 0;
        for (int seed = 1; seed <= 4; seed++)
        {
            Random random = new(7000 + seed);
            List<(double At, Kind Kind)> events = [];
            for (double at = 4 + random.NextDouble(); at < 175; at += 2.5 + random.NextDouble())
            {
                events.Add((at, (Kind)random.Next(4)));
            }

            double[][] load = Loads(random, events, out double[][] travel);
            KerbResult result = KerbStrikes.From(
                LoadRuns.Of(TestCars.Plain(), TimeBase.Even(0, 0.001, Count), (c, t) => load[(int)c][(int)Math.Round(1000 * t)], (c, t) => travel[(int)c][(int)Math.Round(1000 * t)], _ => Speed),
                KerbOptions.Default);
            reported += result.Strikes.Length;
            foreach ((double at, Kind kind) in events)
            {
                foreach (Corner corner in Corners.All)
                {
                    double when = at + (corner.Axle() == Axle.Rear && kind != Kind.Floor ? WheelbaseM / Speed : 0);
                    bool Near(KerbStrike s) => s.Corner == corner && Math.Abs(s.TimeS - when) < 0.06;
                    if (kind == Kind.Bump)
                    {
                        bumps++;
                        bumpsNamed += result.OtherEvents.Any(s => Near(s) && s.Telling.Class == StrikeClass.Bump) ? 1 : 0;
                    }
                    else if (kind == Kind.Floor)
                    {
                        floors++;
                        floorsNamed += result.OtherEvents.Any(s => Near(s) && s.Telling.Class == StrikeClass.Bottoming) ? 1 : 0;
                    }
                    else if (corner.IsLeft() == (kind == Kind.Left))
                    {
                        truths++;
                        found += result.Strikes.Any(Near) ? 1 : 0;
                    }
                }
            }
        }

        string table = $"strikes {found}/{truths}, reported {reported}, bumps {bumpsNamed}/{bumps}, floor {floorsNamed}/{floors}";
        Assert.True(truths > 200, table);
        Assert.True(found >= 0.98 * truths, table);
        Assert.True(found >= 0.98 * reported, table);
        Assert.True(bumpsNamed >= 0.95 * bumps, table);
        Assert.True(floorsNamed >= 0.8 * floors, table);
    }

    private static double[][] Loads(Random random, List<(double At, Kind Kind)> events, out double[][] travel)
    {
        double[][] load = new double[4][];
        travel = new double[4][];
        double[][] heights = [new double[Count], new double[Count]];
        foreach (double[] road in heights)
        {
            double level = 0;
            for (int i = 0; i < Count; i++)
            {
                level += (2e-4 * Normal(random)) - (0.01 * level);
                road[i] = level;
            }
        }

        for (int c = 0; c < 4; c++)
        {
            bool isRear = c >= 2;
            double lag = isRear ? WheelbaseM / Speed : 0;
            int shift = (int)Math.Round(1000 * lag);
            double[] road = new double[Count];
            for (int i = 0; i < Count; i++)
            {
                road[i] = heights[c % 2][Math.Max(0, i - shift)];
            }

            foreach ((double at, Kind kind) in events)
            {
                // Kerbs and bumps of 2 m are over in 44 ms; the floor jolts the body, that is all wheels against it at the same time.
                double start = at + (kind == Kind.Floor ? 0 : lag) - 0.022;
                bool isHit = kind is Kind.Bump or Kind.Floor || (c % 2 == 0) == (kind == Kind.Left);
                double height = isHit ? 0.016 + (0.004 * ((at * 7919) % 1)) : 0;
                for (int i = (int)(1000 * start); i < (int)(1000 * (start + 0.044)); i++)
                {
                    double u = ((0.001 * i) - start) / 0.044;
                    road[i] += height * Math.Pow(Math.Sin(Math.PI * Math.Clamp(u, 0, 1)), 2);
                }
            }

            travel[c] = Wheel(road);
        }

        for (int c = 0; c < 4; c++)
        {
            load[c] = new double[Count];
            for (int i = 1; i < Count; i++)
            {
                double speed = (travel[c][i] - travel[c][i - 1]) / 0.001;
                load[c][i] = 4500 + (180_000 * (travel[c][i] - (0.15 * travel[c ^ 1][i]))) + (2500 * speed) + (4 * Normal(random));
            }

            load[c][0] = load[c][1];
            for (int k = 0; k < 12; k++)
            {
                load[c][random.Next(10, Count - 10)] += random.Next(2) == 0 ? 5000 : -5000;
            }
        }

        return load;
    }

    // x'' + 2 z w x' + w^2 x = w^2 road, trapezoidal.
    private static double[] Wheel(double[] road)
    {
        const double w = 2 * Math.PI * 15;
        const double z = 0.25;
        const double h = 0.001;
        double[] x = new double[Count];
        double at = 0, speed = 0;
        double denominator = 1 + (z * w * h) + (w * w * h * h / 4);
        for (int i = 1; i < Count; i++)
        {
            double force = w * w * (road[i] + road[i - 1]) / 2;
            double next = ((speed * (1 - (z * w * h) - (w * w * h * h / 4))) + (h * (force - (w * w * at)))) / denominator;
            at += h * (speed + next) / 2;
            speed = next;
            x[i] = at;
        }

        return x;
    }

    private static double Normal(Random random) => Math.Sqrt(-2 * Math.Log(1 - random.NextDouble())) * Math.Cos(2 * Math.PI * random.NextDouble());
}
