using System.Collections.Immutable;
using System.Globalization;
using System.Text;
using System.Text.Json;

namespace Telemetry.Logs;

/// <summary>The names under which our Parquet files keep what a plain table cannot say.</summary>
internal static class ParquetKeys
{
    /// <summary>Name of the first column.</summary>
    public const string TimeColumn = "time [s]";

    /// <summary>Column metadata: the unit as the log wrote it.</summary>
    public const string Unit = "unit";

    /// <summary>Column metadata: 'even start_s=... step_s=... count=...' or 'rows' (a time for each row where the channel has a value).</summary>
    public const string TimeBase = "time_base";

    /// <summary>File metadata: name of the run.</summary>
    public const string Run = "run";

    /// <summary>File metadata: the file that was imported.</summary>
    public const string Source = "source";

    /// <summary>File metadata: wall-clock time of the first row, ISO 8601.</summary>
    public const string StartedAtUtc = "started_at_utc";

    /// <summary>File metadata: what was noticed when the log was first read, as JSON.</summary>
    public const string Findings = "findings";

    /// <summary>A time base as metadata text; the numbers read back to the same bits.</summary>
    public static string Format(TimeBase time) => time.IsEven
        ? string.Create(CultureInfo.InvariantCulture, $"even start_s={time.StartS:R} step_s={time.StepS:R} count={time.Count}")
        : "rows";

    /// <summary>The even grid that metadata text says, or null.</summary>
    public static TimeBase? ParseEven(string text)
    {
        string[] words = text.Split(' ');
        return words.Length == 4 && words[0] == "even"
            && TryValue(words[1], "start_s=", out double start) && TryValue(words[2], "step_s=", out double step)
            && words[3].StartsWith("count=", StringComparison.Ordinal)
            && int.TryParse(words[3].AsSpan(6), NumberStyles.None, CultureInfo.InvariantCulture, out int count)
            && step > 0 && double.IsFinite(step) && double.IsFinite(start)
            ? Logs.TimeBase.Even(start, step, count)
            : null;
    }

    /// <summary>Findings as JSON.</summary>
    public static string Format(ImmutableArray<LogFinding> findings)
    {
        using MemoryStream stream = new();
        using (Utf8JsonWriter writer = new(stream))
        {
            writer.WriteStartArray();
            foreach (LogFinding finding in findings)
            {
                writer.WriteStartObject();
                writer.WriteString("kind", finding.Kind.ToString());
                writer.WriteString("where", finding.Where);
                writer.WriteString("message", finding.Message);
                writer.WriteNumber("count", finding.Count);
                if (double.IsFinite(finding.FirstS))
                {
                    writer.WriteNumber("first_s", finding.FirstS);
                }

                writer.WriteEndObject();
            }

            writer.WriteEndArray();
        }

        return Encoding.UTF8.GetString(stream.GetBuffer(), 0, (int)stream.Length);
    }

    /// <summary>Findings from JSON; null when the text is none of ours.</summary>
    public static List<LogFinding>? ParseFindings(string text)
    {
        try
        {
            using JsonDocument document = JsonDocument.Parse(text);
            List<LogFinding> findings = [];
            foreach (JsonElement item in document.RootElement.EnumerateArray())
            {
                double first = item.TryGetProperty("first_s", out JsonElement at) ? at.GetDouble() : double.NaN;
                findings.Add(new(
                    Enum.Parse<LogFindingKind>(item.GetProperty("kind").GetString() ?? ""),
                    item.GetProperty("where").GetString() ?? "",
                    item.GetProperty("message").GetString() ?? "",
                    item.GetProperty("count").GetInt32(),
                    first));
            }

            return findings;
        }
        catch (Exception trouble) when (trouble is JsonException or InvalidOperationException or KeyNotFoundException or ArgumentException or FormatException)
        {
            return null;
        }
    }

    private static bool TryValue(string word, string key, out double value)
    {
        value = double.NaN;
        return word.StartsWith(key, StringComparison.Ordinal)
            && double.TryParse(word.AsSpan(key.Length), NumberStyles.Float, CultureInfo.InvariantCulture, out value);
    }
}
