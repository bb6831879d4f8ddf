using System.Collections.Immutable;
using Telemetry.Car;
using Telemetry.Runs;

namespace Telemetry.Zero;

/// <summary>The zero through all standstill windows.</summary>
internal static class ZeroPath
{
    /// <summary>
    /// Takes the offset off a cell's readings: with temperature where it follows that, and what is left by straight lines in time from window to window.
    /// Before the first and after the last window the offset in time of that window holds.
    /// </summary>
    public static void Subtract(Run run, Corner corner, CornerZero zero, ImmutableArray<StandstillWindow> windows, ReadOnlySpan<double> raw, Span<double> load)
    {
        windows = [.. windows.Where((_, w) => double.IsFinite(zero.AtWindowsN[w]))];
        ReadOnlySpan<double> temperature = zero.PerKelvinN != 0 ? run.OnClock(ChannelRoles.CellTemperature(corner)) : [];
        double[] kelvin = new double[windows.Length];
        double[] left = [.. zero.AtWindowsN.Where(double.IsFinite)];
        for (int w = 0; w < windows.Length && !temperature.IsEmpty; w++)
        {
            kelvin[w] = Temperature(temperature, windows[w]);
            left[w] -= zero.PerKelvinN * (kelvin[w] - kelvin[0]);
        }

        double lastKnown = kelvin[0];
        for (int part = 0; part <= windows.Length; part++)
        {
            int from = part == 0 ? 0 : Middle(windows[part - 1]);
            int to = part == windows.Length ? load.Length : Middle(windows[part]);
            double start = left[Math.Max(0, part - 1)];
            double perSample = part == 0 || part == windows.Length ? 0 : (left[part] - start) / (to - from);
            for (int i = from; i < to; i++)
            {
                double offset = start + (perSample * (i - from));
                if (!temperature.IsEmpty)
                {
                    // A gap in the thermometer holds its last value: a cell's temperature moves over minutes.
                    lastKnown = double.IsNaN(temperature[i]) ? lastKnown : temperature[i];
                    offset += zero.PerKelvinN * (lastKnown - kelvin[0]);
                }

                load[i] = raw[i] - offset;
            }
        }
    }

    /// <summary>Mean cell temperature over a window, K; NaN without a finite sample.</summary>
    public static double Temperature(ReadOnlySpan<double> temperature, StandstillWindow window)
    {
        if (temperature.IsEmpty)
        {
            return double.NaN;
        }

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

    private static int Middle(StandstillWindow window) => (window.StartIndex + window.EndIndex) / 2;
}
