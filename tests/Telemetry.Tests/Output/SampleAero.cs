using System.Collections.Immutable;
using Telemetry.Aero;
using Telemetry.Runs;

namespace Telemetry.Tests.Output;

/// <summary>An aero answer: two straights a lap, eight windows a pass, and windows that were turned away.</summary>
internal static class SampleAero
{
    private const double FrontArea = SampleSignals.FrontLiftAreaM2;
    private const double RearArea = SampleSignals.RearLiftAreaM2;

    public static AeroResult Make(Run run)
    {
        Random random = new(5);
        List<StraightPass> passes = [];
        List<QuasiSteadyWindow> windows = [];
        foreach (Lap lap in run.Laps.Laps)
        {
            double third = lap.DurationS / 3;
            Pass(lap, lap.StartS + (0.10 * third), 300, passes, windows, random);
            Rejected(lap, lap.StartS + (0.6 * third), windows, random);
            Pass(lap, lap.StartS + (1.70 * third), 1500, passes, windows, random);
            Rejected(lap, lap.StartS + (2.2 * third), windows, random);
        }

        double reference = 250 / 3.6;
        return new AeroResult
        {
            ReferenceSpeedMps = reference,
            AtReference = At(reference),
            WithheldBecause = null,
            Curve = [.. Enumerable.Range(0, 21).Select(i => At((100 + (8.5 * i)) / 3.6))],
            Passes = [.. passes],
            Windows = [.. windows],
            Air = new(SampleSignals.DensityKgM3, 0.004, "log", false),
            Wind = new(new(2.1, 0.6, 3.6), new(1.2, 0.5, 1.9), false, "A steady wind of 2.1 m/s was estimated with the load."),
            Budget =
            [
                new("pass to pass", 31, 36, 44, false, "More laps."),
                new("zero", 22, 24, 33, true, "A second standstill after the run."),
                new("wind", 14, 19, 27, false, "Log the air speed."),
                new("air density", 14, 19, 24, true, "Log pressure and humidity."),
                new("mass", 9, 8, 15, true, "Weigh the car after the run."),
                new("installation ratio", 8, 11, 14, true, "Measure the ratio on the car."),
            ],
            Notes = ["The load includes the moment of drag."],
        };
    }

    private static AeroAtSpeed At(double speed)
    {
        double q = SampleSignals.DensityKgM3 / 2 * speed * speed;
        double front = q * FrontArea, rear = q * RearArea;
        Estimate frontLoad = Band(front, 60 + (0.012 * front));
        Estimate rearLoad = Band(rear, 70 + (0.012 * rear));
        Estimate total = Band(front + rear, 85 + (0.010 * (front + rear)));
        return new(
            speed,
            frontLoad,
            rearLoad,
            total,
            Band(front / q, frontLoad.HalfWidth / q),
            Band(rear / q, rearLoad.HalfWidth / q),
            Band((front + rear) / q, total.HalfWidth / q),
            Band(100 * front / (front + rear), 0.5));
    }

    private static Estimate Band(double value, double half) => new(value, value - half, value + half);

    private static void Pass(Lap lap, double start, double distance, List<StraightPass> passes, List<QuasiSteadyWindow> windows, Random random)
    {
        int number = passes.Count + 1;
        double bias = (random.NextDouble() - 0.5) * 0.03;
        for (int i = 0; i < 8; i++)
        {
            double speed = 38 + (4.6 * i) + (random.NextDouble() * 2);
            double q = SampleSignals.DensityKgM3 / 2 * speed * speed;
            windows.Add(new(start + (0.5 * i), lap.Number, number, speed,
                (q * FrontArea * (1 + bias)) + ((random.NextDouble() - 0.5) * 260),
                (q * RearArea * (1 + bias)) + ((random.NextDouble() - 0.5) * 300), null));
        }

        passes.Add(new(number, lap.Number, start, start + 4, distance, distance > 1000 ? 3.14 : 0, 38, 72, 8));
    }

    private static void Rejected(Lap lap, double start, List<QuasiSteadyWindow> windows, Random random)
    {
        for (int i = 0; i < 12; i++)
        {
            double speed = 30 + (random.NextDouble() * 35);
            double q = SampleSignals.DensityKgM3 / 2 * speed * speed;
            double off = (random.NextDouble() - 0.5) * 2200;
            windows.Add(new(start + (0.5 * i), lap.Number, 0, speed, (q * FrontArea) + off, (q * RearArea) + (0.6 * off) - 400,
                i % 3 == 0 ? "braking" : "lateral acceleration"));
        }
    }
}
