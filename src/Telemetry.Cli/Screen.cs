using System.Globalization;
using System.Text;

namespace Telemetry.Cli;

/// <summary>Where the command writes, and what can be shown there.</summary>
/// <param name="Out">For the answer, and for nothing else.</param>
/// <param name="Error">For progress and errors.</param>
/// <param name="OutHasColour">True when the answer may carry colour.</param>
/// <param name="ErrorIsTerminal">True when progress may overwrite its own line.</param>
internal sealed record Screen(TextWriter Out, TextWriter Error, bool OutHasColour = false, bool ErrorIsTerminal = false)
{
    /// <summary>Columns of a terminal that does not tell.</summary>
    public const int UsualColumns = 80;

    /// <summary>Below this a sheet is no longer readable: lines are not broken more finely.</summary>
    public const int FewestColumns = 40;

    /// <summary>True when errors may carry colour.</summary>
    public bool ErrorHasColour { get; init; }

    /// <summary>Columns of the terminal that shows the answer; null on a pipe, where lines stay as they are. Asked for only when something is printed.</summary>
    public Func<int>? OutColumns { get; init; }

    /// <summary>The same of errors and progress.</summary>
    public Func<int>? ErrorColumns { get; init; }

    /// <summary>True for the streams of this process, whose Ctrl+C is then met with a sentence.</summary>
    public bool IsProcess { get; init; }

    /// <summary>The streams of this process: colour only on a terminal, and not when NO_COLOR is set (no-color.org) or the terminal says it is dumb.</summary>
    public static Screen OfProcess()
    {
        bool isDumb = Environment.GetEnvironmentVariable("TERM") == "dumb";
        bool isPlain = isDumb || !string.IsNullOrEmpty(Environment.GetEnvironmentVariable("NO_COLOR"));
        bool outIsTerminal = !Console.IsOutputRedirected;
        bool errorIsTerminal = !Console.IsErrorRedirected;
        return new(
            Utf8(new AnswerStream(Console.OpenStandardOutput())),
            Utf8(Console.OpenStandardError()),
            outIsTerminal && !isPlain,
            errorIsTerminal && !isDumb)
        {
            ErrorHasColour = errorIsTerminal && !isPlain,
            OutColumns = outIsTerminal ? Columns : null,
            ErrorColumns = errorIsTerminal ? Columns : null,
            IsProcess = true,
        };
    }

    /// <summary>COLUMNS before the terminal's own word, as POSIX.1-2017, 8.3 has it.</summary>
    private static int Columns()
    {
        if (int.TryParse(Environment.GetEnvironmentVariable("COLUMNS"), NumberStyles.None, CultureInfo.InvariantCulture, out int wished) && wished > 0)
        {
            return Math.Max(FewestColumns, wished);
        }

        try
        {
            return Console.WindowWidth is > 0 and int told ? Math.Max(FewestColumns, told) : UsualColumns;
        }
        catch (Exception error) when (error is IOException or PlatformNotSupportedException)
        {
            return UsualColumns;
        }
    }

    // Console.Out would first ask the terminal for its encoding and size, which costs start-up; names in logs are UTF-8.
    private static StreamWriter Utf8(Stream stream) => new(stream, new UTF8Encoding(false)) { AutoFlush = true };
}
