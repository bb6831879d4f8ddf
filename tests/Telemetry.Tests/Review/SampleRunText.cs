using System.Globalization;
using System.Text;
using Telemetry.Logs;

namespace Telemetry.Tests.Review;

/// <summary>The start of a sample run as CSV text, so that a test can write it in another way that means the same.</summary>
internal static class SampleRunText
{
    /// <summary>Standstill and a little more than two laps: enough straight passes for an aero answer.</summary>
    private const double LengthS = 150;

    private static readonly Lazy<RunLog> Log = new(() =>
        LogReader.Read(Path.Combine(Repository.Root, "sample-runs", "baseline", "log.parquet"), LogOptions.Default));

    /// <summary>One row a time of the fastest channel; slower channels leave blanks.</summary>
    /// <param name="startS">Time of the first row, s.</param>
    /// <param name="reversed">Columns from last to first.</param>
    /// <param name="separator">Between fields; with a semicolon decimals have a comma.</param>
    /// <param name="change">Unit and factor of a column; null leaves it as it is.</param>
    public static byte[] Write(double startS = 0, bool reversed = false, char separator = ',', Func<LoggedChannel, (string Unit, double Factor)?>? change = null)
    {
        LoggedChannel[] channels = [.. reversed ? Log.Value.Channels.Reverse() : Log.Value.Channels];
        var changes = channels.Select(channel => change?.Invoke(channel) ?? (channel.Unit, 1)).ToArray();
        NumberFormatInfo numbers = (NumberFormatInfo)CultureInfo.InvariantCulture.NumberFormat.Clone();
        numbers.NumberDecimalSeparator = separator == ';' ? "," : ".";
        TimeBase clock = channels.MaxBy(channel => channel.Time.Count)!.Time;
        StringBuilder text = new("Time [s]");
        for (int c = 0; c < channels.Length; c++)
        {
            text.Append(CultureInfo.InvariantCulture, $"{separator}{channels[c].Name} [{changes[c].Unit}]");
        }

        int[] next = new int[channels.Length];
        for (int row = 0; row < clock.Count && clock.At(row) < LengthS; row++)
        {
            double time = clock.At(row);
            text.Append('\n').Append((time + startS).ToString("0.000", numbers));
            for (int c = 0; c < channels.Length; c++)
            {
                text.Append(separator);
                if (next[c] < channels[c].Time.Count && channels[c].Time.At(next[c]) < time + 1e-6)
                {
                    text.Append((channels[c].Samples[next[c]++] * changes[c].Factor).ToString("R", numbers));
                }
            }
        }

        return Encoding.UTF8.GetBytes(text.Append('\n').ToString());
    }
}
