using System.Globalization;

namespace Telemetry;

/// <summary>Counts in sentences.</summary>
internal static class CountText
{
    /// <summary>"1 lap", "3 laps".</summary>
    /// <param name="count">How many.</param>
    /// <param name="one">The word for one.</param>
    /// <param name="many">The word for any other count; the word for one with an s when null.</param>
    public static string Of(long count, string one, string? many = null) =>
        string.Create(CultureInfo.InvariantCulture, $"{count} {(count == 1 ? one : many ?? one + "s")}");
}
