using Telemetry.Car;
using Telemetry.Runs;

namespace Telemetry.Zero;

/// <summary>The zero between two standstill windows.</summary>
internal static class ZeroPath
{
    /// <summary>Takes the interpolated offset off a cell's readings. Before the first and after the last window the offset of that window holds.</summary>
    public static void Subtract(Run run, Corner corner, CornerZero zero, StandstillWindow first, StandstillWindow last, ReadOnlySpan<double> raw, Span<double> load)
    {
        double drift = zero.EndN - zero.StartN;
        if (zero.FollowsTemperature)
        {
            ReadOnlySpan<double> temperature = run.OnClock(ChannelRoles.CellTemperature(corner));
            double from = Temperature(temperature, first);
            double perKelvin = drift / (Temperature(temperature, last) - from);
            double lastKnown = from;
            for (int i = 0; i < load.Length; i++)
            {
                // A gap in the thermometer holds its last value: a cell's temperature moves over minutes.
                lastKnown = double.IsNaN(temperature[i]) ? lastKnown : temperature[i];
                load[i] = raw[i] - (zero.StartN + (perKelvin * (lastKnown - from)));
            }

            return;
        }

        int startIndex = (first.StartIndex + first.EndIndex) / 2;
        int endIndex = (last.StartIndex + last.EndIndex) / 2;
        double perSample = drift / (endIndex - startIndex);
        for (int i = 0; i < load.Length; i++)
        {
            load[i] = raw[i] - (zero.StartN + (perSample * (Math.Clamp(i, startIndex, endIndex) - startIndex)));
        }
    }

    /// <summary>Mean cell temperature over a window, K; NaN without a finite sample.</summary>
    public static double Temperature(ReadOnlySpan<double> temperature, StandstillWindow window)
    {
        double sum = 0;
        int count = 0;
        foreach (double value in temperature[window.StartIndex..window.EndIndex])
        {
            if (double.IsFinite(value))
            {
                sum += value;
                count++;
            }
        }

        return sum / count;
    }
}
