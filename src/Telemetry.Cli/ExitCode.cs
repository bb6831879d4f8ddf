namespace Telemetry.Cli;

/// <summary>What the command tells the shell.</summary>
internal static class ExitCode
{
    /// <summary>Done.</summary>
    public const int Done = 0;

    /// <summary>Done, and a finding needs a person; only with --fail-on-finding.</summary>
    public const int Finding = 1;

    /// <summary>The command was called wrongly.</summary>
    public const int WrongUsage = 2;

    /// <summary>The input cannot be used.</summary>
    public const int BadInput = 3;

    /// <summary>The result could not be written.</summary>
    public const int NotWritten = 4;

    /// <summary>A fault of the program itself: EX_SOFTWARE of BSD's sysexits.h.</summary>
    public const int ProgramFault = 70;

    /// <summary>Stopped by Ctrl+C: 128 and the number of the signal, as shells have it.</summary>
    public const int Interrupted = 130;
}
