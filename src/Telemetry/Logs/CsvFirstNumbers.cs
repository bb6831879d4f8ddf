using System.Globalization;
using System.Text;
using CsvRecord = Telemetry.Logs.CsvRecords.CsvRecord;

namespace Telemetry.Logs;

/// <summary>How the numbers and times of the first rows are written.</summary>
internal static class CsvFirstNumbers
{
    /// <summary>Looks at the first rows: a comma among digits, and no point, means a decimal comma.</summary>
    public static bool? HaveDecimalComma(List<CsvRecord> records, int data, int time, TimeStyle style, char separator)
    {
        bool comma = false;
        bool point = false;
        for (int i = data; i < records.Count; i++)
        {
            string[] fields = records[i].Fields;
            for (int c = 0; c < fields.Length; c++)
            {
                if (c == time && style != TimeStyle.Number)
                {
                    continue;
                }

                comma |= IsNumberWith(fields[c], ',');
                point |= IsNumberWith(fields[c], '.');
            }
        }

        return comma ? !point : point ? false : separator == ',' ? false : null;
    }

    private static bool IsNumberWith(string text, char sign)
    {
        int at = text.IndexOf(sign, StringComparison.Ordinal);
        return at >= 0 && text.IndexOf(sign, at + 1) < 0 && text.IndexOf(sign == ',' ? '.' : ',', StringComparison.Ordinal) < 0
            && double.TryParse(text.Replace(sign, '.'), NumberStyles.Float, CultureInfo.InvariantCulture, out _);
    }

    /// <summary>True when a text is a time, and how it is written.</summary>
    public static bool TryTime(string text, out TimeStyle style)
    {
        byte[] ascii = Encoding.ASCII.GetBytes(text);
        style = TimeText.TryDateTime(ascii, out _, out _, out _) ? TimeStyle.DateTime
            : TimeText.TryTimeOfDay(ascii, out _, out _) ? TimeStyle.TimeOfDay : TimeStyle.Number;
        return style != TimeStyle.Number || double.TryParse(text, NumberStyles.Float, CultureInfo.InvariantCulture, out _) || IsNumberWith(text, ',');
    }

    /// <summary>Digits behind the decimal sign of a time.</summary>
    public static int DecimalsOf(string text, TimeStyle style, out long nanoseconds, out bool hasOffset)
    {
        nanoseconds = 0;
        hasOffset = false;
        int decimals = 0;
        switch (style)
        {
            case TimeStyle.Number:
                return TimeText.Decimals(text);
            case TimeStyle.DateTime:
                TimeText.TryDateTime(Encoding.ASCII.GetBytes(text), out nanoseconds, out decimals, out hasOffset);
                return decimals;
            default:
                TimeText.TryTimeOfDay(Encoding.ASCII.GetBytes(text), out nanoseconds, out decimals);
                return decimals;
        }
    }
}
