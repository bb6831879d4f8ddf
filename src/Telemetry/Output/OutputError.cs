namespace Telemetry.Output;

/// <summary>A result could not be written. Nothing half-written is left behind.</summary>
/// <remarks>The command shows the message and ends with exit code 4; no stack trace reaches the user.</remarks>
public sealed class OutputError : Exception
{
    /// <summary>An error with its place, what was found there and what to do.</summary>
    /// <param name="where">The folder or file that was to be written, as it was given.</param>
    /// <param name="found">What stood in the way.</param>
    /// <param name="remedy">What to do about it, as an instruction.</param>
    /// <param name="cause">What the file system said, or null.</param>
    public OutputError(string where, string found, string remedy, Exception? cause = null)
        : base($"{where}: {found} {remedy}", cause)
    {
        Where = where;
        Found = found;
        Remedy = remedy;
    }

    /// <summary>The folder or file that was to be written.</summary>
    public string Where { get; }

    /// <summary>What stood in the way.</summary>
    public string Found { get; }

    /// <summary>What to do.</summary>
    public string Remedy { get; }
}
