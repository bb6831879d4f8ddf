using System.Collections.Immutable;
using Telemetry.Car;
using Telemetry.Runs;

namespace Telemetry.Zero;

/// <summary>The zero of one cell from the standstill windows, with what its uncertainty is made of (equation E7).</summary>
internal static class ZeroFinder
{
    /// <summary>Mean square of a straight line between two windows' errors, as a share of one's: the mean of (1-s)^2 + s^2 over s from 0 to 1.</summary>
    private const double BetweenTwo = 2.0 / 3;

    /// <summary>No zero.</summary>
    public static CornerZero None { get; } = new(ZeroSource.None, 0, 0, null, double.NaN, false);

    /// <summary>The zero of a cell; <see cref="None"/> when it reads nothing in any window.</summary>
    public static CornerZero Find(
        Run run,
        Corner corner,
        SampleSource readingN,
        ImmutableArray<StandstillWindow> windows,
        SampleSource? travelM,
        int blockLength,
        ZeroOptions options)
    {
        WindowZero[] all = new WindowZero[windows.Length];
        for (int w = 0; w < all.Length; w++)
        {
            all[w] = At(run, corner, readingN, windows[w], travelM, blockLength, options);
        }

        double[] offsets = [.. all.Select(w => w.OffsetN)];
        windows = [.. windows.Where((_, w) => double.IsFinite(offsets[w]))];
        WindowZero[] at = [.. all.Where(w => double.IsFinite(w.OffsetN))];
        if (at.Length == 0)
        {
            return None;
        }

        double[] kelvin = [.. windows.Select(window => ZeroPath.Temperature(run.OnClock(ChannelRoles.CellTemperature(corner)), window))];
        double perKelvin = PerKelvin(run.Car, corner, at, kelvin, options);
        LinearFit? line = LineOf(windows, at, kelvin, perKelvin);
        double friction = Friction(run.Car, corner, at, line, options);
        double resolution = (run.Car.Mapping(ChannelRoles.PushrodLoad(corner))!.Resolution ?? 0) / Math.Sqrt(12);

        // What all windows share (the setup sheet) stays; what each has of its own is weighed down by the interpolation between two.
        double share = at.Length > 1 ? BetweenTwo : 1;
        ZeroBudget budget = new()
        {
            ExpectedN = Math.Sqrt(at.Average(w => w.Expected.StandardUncertaintyN * w.Expected.StandardUncertaintyN)),
            RatioN = Math.Sqrt(at.Average(w => w.Expected.RatioUncertaintyN * w.Expected.RatioUncertaintyN)),
            FrictionN = friction * Math.Sqrt(share),
            RepeatN = Math.Sqrt(share * at.Average(w => w.RepeatN * w.RepeatN)),
            ResolutionN = resolution,
            DriftN = at.Length > 1 ? BetweenWindows(at) : UnknownDriftN(run.Car, corner, options),
        };
        double? drift = at.Length > 1 ? at[^1].OffsetN - at[0].OffsetN : null;
        return new CornerZero(at[0].Expected.Source, at[0].OffsetN, at[^1].OffsetN, drift, budget.TotalN, perKelvin != 0)
        {
            Budget = budget,
            AtWindowsN = [.. offsets],
            DriftUncertaintyN = at.Length > 1
                ? Math.Sqrt((2 * friction * friction) + (2 * resolution * resolution) + (at[0].RepeatN * at[0].RepeatN) + (at[^1].RepeatN * at[^1].RepeatN))
                : null,
            PerKelvinN = perKelvin,
            ResidualScatterN = line is { DegreesOfFreedom: > 0 } ? line.ResidualDeviation : null,
            HysteresisN = ApproachHysteresis.Of(run, corner, windows, [.. at.Select(w => w.OffsetN)], options),
            TemperatureK = kelvin.Where(double.IsFinite).DefaultIfEmpty(double.NaN).Average(),
        };
    }

    /// <summary>Drift that one window cannot show, N.</summary>
    public static double UnknownDriftN(CarDefinition car, Corner corner, ZeroOptions options) =>
        car.Mapping(ChannelRoles.PushrodLoad(corner))?.Range is (double low, double high)
            ? options.UnknownDriftShareOfRange * (high - low)
            : options.UnknownDriftN;

    private static WindowZero At(
        Run run, Corner corner, SampleSource readingN, StandstillWindow window, SampleSource? travelM, int blockLength, ZeroOptions options)
    {
        BlockMedian reading = BlockMedian.Of(readingN, window.StartIndex, window.EndIndex, blockLength);
        double fuelKg = FuelOnBoard.At(run, window.StartIndex);
        double droop = travelM is null ? 0 : BlockMedian.Of(travelM, window.StartIndex, window.EndIndex, blockLength).Middle;
        StaticLoad expected = window.OnStands
            ? StaticLoad.OnStands(run.Car, corner, droop)
            : StaticLoad.OnGround(run.Car, corner, fuelKg, options);

        // Block medians of a car at rest wander together (somebody leans, the fan starts), so their number is not counted on.
        return new(reading.Middle - expected.LoadN, reading.Scatter, expected);
    }

    /// <summary>
    /// Between two neighbouring windows the offset lies somewhere between them: a rectangle as wide as the step about the interpolated value (GUM 4.3.7); the widest counts.
    /// </summary>
    private static double BetweenWindows(WindowZero[] at)
    {
        double widest = 0;
        for (int w = 1; w < at.Length; w++)
        {
            widest = Math.Max(widest, Math.Abs(at[w].OffsetN - at[w - 1].OffsetN));
        }

        return widest / (2 * Math.Sqrt(3));
    }

    /// <summary>Assumed friction, and with three windows or more their own scatter about a straight line, pooled with it.</summary>
    private static double Friction(CarDefinition car, Corner corner, WindowZero[] at, LinearFit? line, ZeroOptions options)
    {
        double assumed = options.FrictionShareOfLoad * at.Average(w => Math.Abs(w.Expected.LoadN)) / Math.Sqrt(3);
        return line is not { DegreesOfFreedom: > 0 } ? assumed
            : Math.Sqrt(((options.FrictionWeight * assumed * assumed) + line.SumOfSquares) / (options.FrictionWeight + line.DegreesOfFreedom));
    }

    /// <summary>The windows' straight line over what the zero follows; null below two windows.</summary>
    private static LinearFit? LineOf(ImmutableArray<StandstillWindow> windows, WindowZero[] at, double[] kelvin, double perKelvin)
    {
        double[] over = perKelvin != 0 ? kelvin : [.. windows.Select(window => (window.StartS + window.EndS) / 2)];
        double middle = over.Average();
        return at.Length < 2 ? null
            : LinearFit.Of([[.. over.Select(_ => 1.0)], [.. over.Select(x => x - middle)]], at.Select(w => w.OffsetN).ToArray());
    }

    /// <summary>Slope over temperature, N/K; 0 when the temperature hardly changed or the slope is too steep to be thermal.</summary>
    private static double PerKelvin(CarDefinition car, Corner corner, WindowZero[] at, double[] kelvin, ZeroOptions options)
    {
        if (at.Length < 2 || !kelvin.All(double.IsFinite) || !(kelvin.Max() - kelvin.Min() >= options.TemperatureChangeK))
        {
            return 0;
        }

        double middle = kelvin.Average();
        LinearFit? line = LinearFit.Of([[.. kelvin.Select(_ => 1.0)], [.. kelvin.Select(k => k - middle)]], at.Select(w => w.OffsetN).ToArray());
        double slope = line?.Coefficients[1] ?? 0;
        double believed = car.Mapping(ChannelRoles.PushrodLoad(corner))!.Range is (double low, double high)
            ? options.LargestThermalShiftShare * (high - low)
            : double.PositiveInfinity;
        return Math.Abs(slope) <= believed ? slope : 0;
    }

    private readonly record struct WindowZero(double OffsetN, double RepeatN, StaticLoad Expected);
}
