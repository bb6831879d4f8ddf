using System.Globalization;

namespace Telemetry.Cli;

/// <summary>How long work may still take, from the share that is done and the time that it took.</summary>
internal sealed class TimeLeft
{
    /// <summary>Before a tenth is done the guess would be off by more than it says.</summary>
    private const double LeastShare = 0.1;

    private TimeSpan? whole;

    /// <summary>A share of the work was reached.</summary>
    /// <param name="share">0 to 1.</param>
    /// <param name="elapsed">Since the start.</param>
    public void Reached(double share, TimeSpan elapsed)
    {
        if (share >= LeastShare)
        {
            whole = elapsed / Math.Min(share, 1);
        }
    }

    /// <summary>Time left; null when it is not known, or when the guess has run out: then silence is better than a nought that stays.</summary>
    public TimeSpan? At(TimeSpan elapsed) => whole is { } all && all - elapsed >= TimeSpan.FromMilliseconds(500) ? all - elapsed : null;

    /// <summary>A time in words: "4 s", "2 min 10 s"; above a minute no finer than ten seconds.</summary>
    public static string Words(TimeSpan span)
    {
        int seconds = (int)Math.Round(span.TotalSeconds);
        if (seconds < 60)
        {
            return seconds.ToString(CultureInfo.InvariantCulture) + " s";
        }

        int tens = (int)Math.Round(span.TotalSeconds / 10) * 10;
        return string.Create(CultureInfo.InvariantCulture, $"{tens / 60} min{(tens % 60 == 0 ? "" : $" {tens % 60} s")}");
    }
}
