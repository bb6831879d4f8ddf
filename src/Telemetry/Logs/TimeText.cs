namespace Telemetry.Logs;

/// <summary>How the time column is written.</summary>
internal enum TimeStyle
{
    /// <summary>A number in the column's unit.</summary>
    Number,

    /// <summary>ISO 8601 date and time.</summary>
    DateTime,

    /// <summary>ISO 8601 time of day without a date.</summary>
    TimeOfDay,
}

/// <summary>Times written as text: ISO 8601 date-times, times of day, and units of time.</summary>
internal static class TimeText
{
    private const long NanosecondsPerSecond = 1_000_000_000;

    /// <summary>
    /// Reads an ISO 8601 date and time: extended form, 'T' or a blank between the parts, fraction after a point or comma, seconds optional,
    /// offset 'Z' or +hh:mm or none (then taken as UTC).
    /// </summary>
    /// <param name="text">ASCII text, trimmed.</param>
    /// <param name="nanoseconds">Nanoseconds since 1970-01-01 00:00 UTC; digits beyond the ninth of the fraction are dropped.</param>
    /// <param name="decimals">Digits of the fraction.</param>
    /// <param name="hasOffset">True when the text says its offset from UTC.</param>
    public static bool TryDateTime(ReadOnlySpan<byte> text, out long nanoseconds, out int decimals, out bool hasOffset)
    {
        nanoseconds = 0;
        decimals = 0;
        hasOffset = false;
        if (text.Length < 16 || text[4] != '-' || text[7] != '-' || (text[10] != ' ' && text[10] != 'T' && text[10] != 't')
            || !TryDigits(text[..4], out int year) || !TryDigits(text[5..7], out int month) || !TryDigits(text[8..10], out int day)
            || year is < 1700 or > 2250 || month is < 1 or > 12 || day < 1 || day > DateTime.DaysInMonth(year, month))
        {
            return false;
        }

        ReadOnlySpan<byte> rest = text[11..];
        if (!TryClock(ref rest, out long clock, out decimals) || !TryOffset(rest, out long offset, out hasOffset))
        {
            return false;
        }

        long days = (new DateTime(year, month, day, 0, 0, 0, DateTimeKind.Utc).Ticks - DateTime.UnixEpoch.Ticks) / TimeSpan.TicksPerDay;
        nanoseconds = (days * 86_400 * NanosecondsPerSecond) + clock - offset;
        return true;
    }

    /// <summary>Reads an ISO 8601 time of day: hh:mm:ss with or without a fraction.</summary>
    /// <param name="text">ASCII text, trimmed.</param>
    /// <param name="nanoseconds">Nanoseconds since midnight.</param>
    /// <param name="decimals">Digits of the fraction.</param>
    public static bool TryTimeOfDay(ReadOnlySpan<byte> text, out long nanoseconds, out int decimals)
    {
        nanoseconds = 0;
        decimals = 0;
        return text.Length >= 8 && text[5] == ':' && TryClock(ref text, out nanoseconds, out decimals) && text.IsEmpty;
    }

    /// <summary>How many of a unit make one second; null when the text is no unit of time. An empty unit or '-' is taken as seconds.</summary>
    public static double? UnitsPerSecond(string unit) => unit.Trim().ToLowerInvariant() switch
    {
        "" or "-" or "s" or "sec" or "secs" or "second" or "seconds" => 1,
        "ms" or "msec" or "millisecond" or "milliseconds" => 1e3,
        "us" or "\u00b5s" or "\u03bcs" or "usec" or "microsecond" or "microseconds" => 1e6,
        "ns" or "nsec" or "nanosecond" or "nanoseconds" => 1e9,
        "min" or "minute" or "minutes" => 1.0 / 60,
        "h" or "hour" or "hours" => 1.0 / 3600,
        _ => null,
    };

    /// <summary>Digits after the decimal sign of a number's text, its exponent counted: what the text's last digit stands for is 10^-decimals.</summary>
    public static int Decimals(ReadOnlySpan<char> text)
    {
        text = text.Trim();
        int exponent = 0;
        int e = text.IndexOfAny('e', 'E');
        if (e >= 0)
        {
            _ = int.TryParse(text[(e + 1)..], System.Globalization.NumberStyles.AllowLeadingSign, System.Globalization.CultureInfo.InvariantCulture, out exponent);
            text = text[..e];
        }

        int point = text.IndexOfAny('.', ',');
        return (point < 0 ? 0 : text.Length - point - 1) - Math.Clamp(exponent, -400, 400);
    }

    private static bool TryClock(ref ReadOnlySpan<byte> text, out long nanoseconds, out int decimals)
    {
        nanoseconds = 0;
        decimals = 0;
        if (text.Length < 5 || text[2] != ':' || !TryDigits(text[..2], out int hour) || !TryDigits(text[3..5], out int minute) || hour > 23 || minute > 59)
        {
            return false;
        }

        text = text[5..];
        int second = 0;
        long fraction = 0;
        if (text.Length >= 3 && text[0] == ':')
        {
            // 60 is a leap second (ISO 8601-1, 5.3.1): it becomes the first second of the next minute.
            if (!TryDigits(text[1..3], out second) || second > 60)
            {
                return false;
            }

            text = text[3..];
            if (text.Length > 1 && (text[0] == '.' || text[0] == ','))
            {
                text = text[1..];
                long scale = NanosecondsPerSecond;
                while (!text.IsEmpty && char.IsAsciiDigit((char)text[0]))
                {
                    scale /= 10;
                    fraction += (text[0] - '0') * scale;
                    decimals++;
                    text = text[1..];
                }

                if (decimals == 0)
                {
                    return false;
                }
            }
        }

        nanoseconds = (((hour * 60L) + minute) * 60L + second) * NanosecondsPerSecond + fraction;
        return true;
    }

    private static bool TryOffset(ReadOnlySpan<byte> text, out long nanoseconds, out bool hasOffset)
    {
        nanoseconds = 0;
        hasOffset = !text.IsEmpty;
        if (text.IsEmpty || (text.Length == 1 && (text[0] == 'Z' || text[0] == 'z')))
        {
            return true;
        }

        int sign = text[0] == '+' ? 1 : text[0] == '-' ? -1 : 0;
        text = text[1..];
        int minute = 0;
        if (sign == 0 || text.Length < 2 || !TryDigits(text[..2], out int hour) || hour > 23)
        {
            return false;
        }

        text = text[2..];
        if (!text.IsEmpty && text[0] == ':')
        {
            text = text[1..];
        }

        if (!text.IsEmpty && (text.Length != 2 || !TryDigits(text, out minute) || minute > 59))
        {
            return false;
        }

        nanoseconds = sign * ((hour * 60L) + minute) * 60L * NanosecondsPerSecond;
        return true;
    }

    private static bool TryDigits(ReadOnlySpan<byte> text, out int value)
    {
        value = 0;
        foreach (byte digit in text)
        {
            if (!char.IsAsciiDigit((char)digit))
            {
                return false;
            }

            value = (value * 10) + digit - '0';
        }

        return text.Length > 0;
    }
}
