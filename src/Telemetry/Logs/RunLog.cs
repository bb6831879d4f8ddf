using System.Collections.Immutable;

namespace Telemetry.Logs;

/// <summary>A channel as the file has it: its own name, unit and time base.</summary>
/// <param name="Name">The name in the file, without the unit.</param>
/// <param name="Unit">The unit as written in the file ("km/h", "N"), or empty when the file gives none.</param>
/// <param name="Time">When each sample was taken; one time a sample, strictly rising.</param>
/// <param name="Samples">One value a sample, in <paramref name="Unit"/>. NaN where the file has a gap, a missing-value token or a non-finite number.</param>
public sealed record LoggedChannel(string Name, string Unit, TimeBase Time, SampleSource Samples);

/// <summary>What kind of thing the reader noticed without being stopped by it.</summary>
public enum LogFindingKind
{
    /// <summary>A time stamp occurs again; the first row that has it is kept.</summary>
    RepeatedTime,

    /// <summary>A time stamp lies before the one above it; the row is left out.</summary>
    BackwardTime,

    /// <summary>The last row stops in the middle; it is left out.</summary>
    CutOffRow,

    /// <summary>An infinity or a 'not a number' was written in a number column.</summary>
    NotFinite,

    /// <summary>Time stamps are uneven by more than the rounding of the text explains.</summary>
    UnevenTime,

    /// <summary>Time jumps by more than one step.</summary>
    TimeGap,

    /// <summary>The header stands again among the rows and time goes on: the logger was started again, or two files were joined.</summary>
    RepeatedHeader,

    /// <summary>Times have single precision or are otherwise rounded so coarsely that samples cannot be told apart in time.</summary>
    CoarseTime,

    /// <summary>Numbers that no sensor gives, in a file that carries no checksum: it may be damaged.</summary>
    ImplausibleNumber,

    /// <summary>Anything else that the reader of the report should know about the file.</summary>
    Note,
}

/// <summary>Something noticed while reading that health must judge; the data around it is kept as described, never repaired.</summary>
/// <param name="Kind">What it is.</param>
/// <param name="Where">File, row (from 1, as an editor shows it) and column.</param>
/// <param name="Message">One sentence: what was seen, how often, and what was done with those rows.</param>
/// <param name="Count">How many times it occurs; the place is that of the first.</param>
/// <param name="FirstS">Time of the first occurrence, s; NaN where it has none.</param>
public sealed record LogFinding(LogFindingKind Kind, string Where, string Message, int Count, double FirstS);

/// <summary>A run's log as it was read: channels each with its own time base, and what the reader noticed.</summary>
/// <param name="Name">Name of the run: the file's name without its endings.</param>
/// <param name="Source">The path that was read, as it was given.</param>
/// <param name="Channels">All number columns, in the order of the file; names are unique.</param>
/// <param name="Findings">What was noticed, in the order of the file.</param>
/// <param name="StartedAtUtc">Wall-clock time of the first row where the log has dates (ISO 8601), else null.</param>
public sealed record RunLog(
    string Name,
    string Source,
    ImmutableArray<LoggedChannel> Channels,
    ImmutableArray<LogFinding> Findings,
    DateTimeOffset? StartedAtUtc = null)
{
    /// <summary>The channel of that exact name, or null.</summary>
    public LoggedChannel? Find(string name)
    {
        foreach (LoggedChannel channel in Channels)
        {
            if (string.Equals(channel.Name, name, StringComparison.Ordinal))
            {
                return channel;
            }
        }

        return null;
    }
}

/// <summary>How a log is to be read where the file itself leaves a choice.</summary>
public sealed record LogOptions
{
    /// <summary>Defaults: everything is found from the file.</summary>
    public static LogOptions Default { get; } = new();

    /// <summary>Name of the time column; null means the first column named time, t, timestamp or elapsed (any case, any unit).</summary>
    public string? TimeColumn { get; init; }

    /// <summary>Texts that stand for 'no value' besides the blank, compared exactly after trimming.</summary>
    /// <remarks>Default: none. A text in a number column that is not listed here is an error, so that a wrong file is not read as gaps.</remarks>
    public ImmutableArray<string> MissingTokens { get; init; } = [];

    /// <summary>The field separator; null means found from the header.</summary>
    public char? Separator { get; init; }

    /// <summary>True when numbers are written with a comma before the decimals; null means found from the file.</summary>
    public bool? DecimalComma { get; init; }

    /// <summary>Only these columns are kept, besides time; empty means all. Lets a wide log be read without the cost of what nobody asked for.</summary>
    public ImmutableArray<string> OnlyColumns { get; init; } = [];
}
