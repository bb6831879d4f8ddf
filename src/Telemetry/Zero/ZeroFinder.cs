using System.Collections.Immutable;
using Telemetry.Car;
using Telemetry.Runs;

namespace Telemetry.Zero;

/// <summary>The zero of one cell from the standstill windows.</summary>
internal static class ZeroFinder
{
    public static CornerZero Find(
        Run run,
        Corner corner,
        ImmutableArray<StandstillWindow> windows,
        ImmutableArray<double> travelM,
        int blockLength,
        ZeroOptions options)
    {
        WindowZero first = At(run, corner, windows[0], travelM, blockLength, options);
        WindowZero last = windows.Length > 1 ? At(run, corner, windows[^1], travelM, blockLength, options) : first;
        ChannelMapping mapping = run.Car.Mapping(ChannelRoles.PushrodLoad(corner))!;
        double resolution = (mapping.Resolution ?? 0) / Math.Sqrt(12);
        double? drift = windows.Length > 1 ? last.OffsetN - first.OffsetN : null;

        // What both windows share (the setup sheet) stays; what each has of its own (friction, noise) is halved by the mean of two windows.
        double own = Math.Sqrt((first.ScatterN * first.ScatterN) + (last.ScatterN * last.ScatterN)) / 2;
        double unknownDrift = mapping.Range is (double low, double high)
            ? options.UnknownDriftShareOfRange * (high - low)
            : options.UnknownDriftN;

        // Between two windows the offset lies somewhere between its ends: a rectangle as wide as the drift about the interpolated value (GUM 4.3.7).
        double between = drift is double d ? Math.Abs(d) / (2 * Math.Sqrt(3)) : unknownDrift;
        double uncertainty = Math.Sqrt(
            (first.ExpectedUncertaintyN * first.ExpectedUncertaintyN) + (own * own) + (resolution * resolution) + (between * between));
        bool followsTemperature = drift is double thermal && FollowsTemperature(run, corner, thermal, windows, options);
        return new CornerZero(first.Source, first.OffsetN, last.OffsetN, drift, uncertainty, followsTemperature);
    }

    private static WindowZero At(Run run, Corner corner, StandstillWindow window, ImmutableArray<double> travelM, int blockLength, ZeroOptions options)
    {
        ReadOnlySpan<double> raw = run.OnClock(ChannelRoles.PushrodLoad(corner))[window.StartIndex..window.EndIndex];
        BlockMedian reading = BlockMedian.Of(raw, blockLength);
        double fuelKg = FuelOnBoard.At(run, window.StartIndex);
        double droop = travelM.IsDefault ? 0 : BlockMedian.Of(travelM.AsSpan()[window.StartIndex..window.EndIndex], blockLength).Middle;
        StaticLoad expected = window.OnStands
            ? StaticLoad.OnStands(run.Car, corner, droop)
            : StaticLoad.OnGround(run.Car, corner, fuelKg, options);
        return new(reading.Middle - expected.LoadN, reading.Scatter, expected.StandardUncertaintyN, expected.Source);
    }

    private static bool FollowsTemperature(Run run, Corner corner, double driftN, ImmutableArray<StandstillWindow> windows, ZeroOptions options)
    {
        ReadOnlySpan<double> temperature = run.OnClock(ChannelRoles.CellTemperature(corner));
        if (temperature.IsEmpty)
        {
            return false;
        }

        double change = ZeroPath.Temperature(temperature, windows[^1]) - ZeroPath.Temperature(temperature, windows[0]);
        double believedN = run.Car.Mapping(ChannelRoles.PushrodLoad(corner))!.Range is (double low, double high)
            ? options.LargestThermalShiftShare * (high - low) * Math.Abs(change)
            : double.PositiveInfinity;
        return Math.Abs(change) >= options.TemperatureChangeK && Math.Abs(driftN) <= believedN;
    }

    private readonly record struct WindowZero(double OffsetN, double ScatterN, double ExpectedUncertaintyN, ZeroSource Source);
}
