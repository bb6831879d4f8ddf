using System.Globalization;
using System.Text;

namespace Telemetry.Tests.Logs;

/// <summary>Text of a log with stops, at 20 Hz: stretches driven for 30 s, up to 180 km/h, and a column that counts its rows.</summary>
internal static class LongLog
{
    public const double StepS = 0.05;
    public const double DrivenS = 30;

    /// <summary>The text.</summary>
    /// <param name="stops">Stops between driven stretches; the log begins and ends with one more.</param>
    /// <param name="stopS">How long each lasts, s.</param>
    /// <param name="lineBreak">What ends a row.</param>
    /// <param name="time">Writes a time in s.</param>
    /// <param name="speedEvery">The speed stands in each so-manieth row, blank in the others.</param>
    public static string Text(int stops, double stopS, string lineBreak = "\n", Func<double, string>? time = null, int speedEvery = 1)
    {
        time ??= t => t.ToString("0.00", CultureInfo.InvariantCulture);
        StringBuilder text = new();
        text.Append("# a remark").Append(lineBreak).Append("Time,Speed,row").Append(lineBreak).Append("s,km/h,").Append(lineBreak);
        double period = stopS + DrivenS;
        int rows = (int)Math.Round((((stops + 1) * period) + stopS) / StepS);
        for (int i = 0; i < rows; i++)
        {
            double t = i * StepS;
            double within = t % period;
            double speed = within < stopS ? 0.1 * (i % 3) : 180 * Math.Sin(Math.PI * (within - stopS) / DrivenS);
            string shown = i % speedEvery == 0 ? Math.Max(speed, 0).ToString("0.0", CultureInfo.InvariantCulture) : "";
            text.Append(time(t)).Append(',').Append(shown).Append(CultureInfo.InvariantCulture, $",{i}").Append(lineBreak);
        }

        return text.ToString();
    }
}
