using System.Collections.Immutable;
using System.Globalization;

namespace Telemetry.Ledgers;

/// <summary>Times and lists of numbers as the text that rows hold.</summary>
internal static class RowText
{
    private const string TimeForm = "yyyy-MM-dd'T'HH:mm:ss.fffffff'Z'";

    public static string Of(DateTimeOffset at) => at.UtcDateTime.ToString(TimeForm, CultureInfo.InvariantCulture);

    public static DateTimeOffset Time(string text) =>
        new(DateTime.ParseExact(text, TimeForm, CultureInfo.InvariantCulture, DateTimeStyles.AssumeUniversal | DateTimeStyles.AdjustToUniversal), TimeSpan.Zero);

    /// <summary>Numbers with a space between, to the last digit; null without any.</summary>
    public static string? Of(ImmutableArray<double> numbers) =>
        numbers.IsDefaultOrEmpty ? null : string.Join(' ', numbers.Select(number => number.ToString("R", CultureInfo.InvariantCulture)));

    public static ImmutableArray<double> Numbers(string? text) =>
        text is null ? [] : [.. text.Split(' ').Select(number => double.Parse(number, NumberStyles.Float, CultureInfo.InvariantCulture))];
}
