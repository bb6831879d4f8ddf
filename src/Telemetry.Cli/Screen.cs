using System.Text;

namespace Telemetry.Cli;

/// <summary>Where the command writes, and what can be shown there.</summary>
/// <param name="Out">For the answer, and for nothing else.</param>
/// <param name="Error">For progress and errors.</param>
/// <param name="OutHasColour">True when the answer may carry colour.</param>
/// <param name="ErrorIsTerminal">True when progress may overwrite its own line.</param>
internal sealed record Screen(TextWriter Out, TextWriter Error, bool OutHasColour = false, bool ErrorIsTerminal = false)
{
    /// <summary>The streams of this process: colour only on a terminal, and not when NO_COLOR is set (no-color.org) or the terminal says it is dumb.</summary>
    public static Screen OfProcess()
    {
        bool plain = !string.IsNullOrEmpty(Environment.GetEnvironmentVariable("NO_COLOR"))
            || Environment.GetEnvironmentVariable("TERM") == "dumb";
        return new(
            Utf8(Console.OpenStandardOutput()),
            Utf8(Console.OpenStandardError()),
            !Console.IsOutputRedirected && !plain,
            !Console.IsErrorRedirected && !plain);
    }

    // Console.Out would first ask the terminal for its encoding and size, which costs start-up; names in logs are UTF-8.
    private static StreamWriter Utf8(Stream stream) => new(stream, new UTF8Encoding(false)) { AutoFlush = true };
}
