using System.Collections.Immutable;
using System.Runtime.InteropServices;
using Telemetry.Car;

namespace Telemetry.Tests.Output;

/// <summary>A strike that was put into the signals.</summary>
internal readonly record struct PlacedStrike(Corner Corner, int Lap, int Index, double DistanceM, double AddedN);

/// <summary>Signals of an invented car on an invented closed circuit: static load, aero load, transfers, rough road and kerbs.</summary>
/// <remarks>
/// The circuit's curvature repeats after half a lap, so that the driven line closes. Only for tests of what is shown:
/// no physical accuracy is claimed and nothing is estimated from them.
/// </remarks>
internal sealed class SampleSignals
{
    public const double LapLengthM = 2600;
    public const double FrontLiftAreaM2 = 1.47;
    public const double RearLiftAreaM2 = 1.93;
    public const double DensityKgM3 = 1.2;
    private const double StandstillS = 4;
    private const double HalfAirDensity = DensityKgM3 / 2;
    private static readonly double[] StaticN = [1800, 1800, 2120, 2120];

    private static readonly (double DistanceM, bool IsLeft, double AddedN)[] Places =
    [
        (410, true, 11_500), (1_180, false, 13_000), (1_705, true, 18_500), (2_240, false, 8_000),
    ];

    private readonly SampleOptions options;

    public SampleSignals(SampleOptions options)
    {
        this.options = options;
        LineUp();
        Load();
    }

    public int Count { get; private set; }

    public double[] SpeedMps { get; private set; } = [];

    public double[] AccelerationX { get; private set; } = [];

    public double[] AccelerationY { get; private set; } = [];

    public double[] DistanceM { get; private set; } = [];

    public double[] EastM { get; private set; } = [];

    public double[] NorthM { get; private set; } = [];

    public List<int> LapStarts { get; } = [0];

    public List<PlacedStrike> Strikes { get; } = [];

    public PerCorner<double[]> WheelN { get; private set; } = PerCorner.Of(_ => Array.Empty<double>());

    public PerCorner<double[]> WheelTravelM { get; private set; } = PerCorner.Of(_ => Array.Empty<double>());

    public static ImmutableArray<double> Freeze(double[] values) => ImmutableCollectionsMarshal.AsImmutableArray(values);

    private void LineUp()
    {
        List<(double S, double V, double Ax, double Ay, double E, double N)> rows = [];
        double step = 1 / options.RateHz;
        double s = 0, v = 0, east = 0, north = 0, heading = 0, time = 0;
        int lap = 1;
        while (lap <= options.Laps)
        {
            double u = s / LapLengthM;
            double curve = 2 * Math.PI / LapLengthM
                * (1 + (2.2 * Math.Cos(4 * Math.PI * u)) - (0.8 * Math.Cos((8 * Math.PI * u) + 0.4)) + (0.9 * Math.Sin((12 * Math.PI * u) + 1)));
            double wanted = 53 - (21 * Math.Cos(4 * Math.PI * (u + 0.02))) - (4 * Math.Cos((2 * Math.PI * u) + 1)) + (3 * Math.Sin(12 * Math.PI * u)) + (0.4 * lap);
            double ax = time < StandstillS ? 0 : Math.Clamp((wanted - v) * 1.5, -28, 9);
            rows.Add((s, v, ax, v * v * curve, east, north));
            v += ax * step;
            heading += curve * v * step;
            east += v * Math.Sin(heading) * step;
            north += v * Math.Cos(heading) * step;
            s += v * step;
            time += step;
            if (s >= LapLengthM)
            {
                s -= LapLengthM;
                lap++;
                LapStarts.Add(rows.Count);
            }
        }

        LapStarts.RemoveAt(LapStarts.Count - 1);
        Count = rows.Count;
        DistanceM = [.. rows.Select(r => r.S)];
        SpeedMps = [.. rows.Select(r => r.V)];
        AccelerationX = [.. rows.Select(r => r.Ax)];
        AccelerationY = [.. rows.Select(r => r.Ay)];
        EastM = [.. rows.Select(r => r.E)];
        NorthM = [.. rows.Select(r => r.N)];
    }

    private void Load()
    {
        WheelN = PerCorner.Of(Corner);
        foreach ((double distance, bool left, double added) in Places)
        {
            Strike(distance, left, added);
        }

        Strikes.Sort((a, b) => a.Index.CompareTo(b.Index));
        WheelTravelM = WheelN.Select((corner, load) => Travel(load, StaticN[(int)corner]));
    }

    private double[] Corner(Corner corner)
    {
        Random random = new((options.Seed * 10) + (int)corner);
        bool front = corner.Axle() == Axle.Front;
        double area = front ? FrontLiftAreaM2 : RearLiftAreaM2;
        double side = corner.IsLeft() ? -1 : 1;
        double end = front ? -1 : 1;
        double a = Math.Exp(-2 * Math.PI * 6 / options.RateHz);
        double road = 0, bounce = 0;
        double[] load = new double[Count];
        for (int i = 0; i < load.Length; i++)
        {
            double v = SpeedMps[i];
            double kick = (random.NextDouble() + random.NextDouble() + random.NextDouble() - 1.5) * Math.Sqrt(1 - (a * a)) * 16 * v;
            road = (a * road) + kick;
            bounce += (road - bounce) * Math.Min(1, 2 * Math.PI * 25 / options.RateHz);
            load[i] = StaticN[(int)corner] + (HalfAirDensity * v * v * area / 2)
                + (side * AccelerationY[i] * 72) + (end * AccelerationX[i] * 38) + bounce;
        }

        return load;
    }

    private void Strike(double place, bool left, double added)
    {
        for (int lap = 1; lap <= LapStarts.Count; lap++)
        {
            int start = LapStarts[lap - 1];
            int end = lap < LapStarts.Count ? LapStarts[lap] : Count;
            double strength = added * (0.72 + (0.28 * Math.Sin((lap * 2.4) + place)));
            for (int axle = 0; axle < 2; axle++)
            {
                double at = place + (4 * Math.Sin((lap * 1.7) + place)) + (axle * SampleCar.WheelbaseM);
                int index = Array.BinarySearch(DistanceM, start, end - start, at);
                index = index < 0 ? ~index : index;
                Corner corner = (Corner)((axle * 2) + (left ? 0 : 1));
                int half = Math.Max(1, (int)(0.012 * options.RateHz));
                for (int k = Math.Max(0, index - half); k <= Math.Min(Count - 1, index + half); k++)
                {
                    WheelN[corner][k] += strength * (axle == 0 ? 1 : 0.8) * Math.Cos(Math.PI * (k - index) / (2.0 * (half + 1)));
                }

                Strikes.Add(new(corner, lap, index, DistanceM[Math.Min(index, Count - 1)], strength));
            }
        }
    }

    private double[] Travel(double[] load, double staticN)
    {
        double[] travel = new double[load.Length];
        double share = Math.Min(1, 2 * Math.PI * 12 / options.RateHz);
        double state = 0;
        for (int i = 0; i < travel.Length; i++)
        {
            state += (((load[i] - staticN) / 240_000) - state) * share;
            travel[i] = state;
        }

        return travel;
    }
}
