using Telemetry.Output;

namespace Telemetry.Cli;

/// <summary>What went wrong, in one style: where, what, what to do; and the exit code that belongs to it.</summary>
internal static class Complaint
{
    /// <summary>Says what was thrown.</summary>
    /// <param name="thrown">The cause.</param>
    /// <param name="verb">The words that were called, such as "pushrod analyse".</param>
    /// <param name="screen">Where to write.</param>
    /// <returns>The exit code.</returns>
    public static int Tell(Exception thrown, string verb, Screen screen)
    {
        switch (thrown)
        {
            case InputError input:
                foreach (InputFault fault in input.Faults)
                {
                    Say(screen, fault.Where, fault.Found, fault.Remedy);
                }

                return ExitCode.BadInput;
            case OutputError output:
                Say(screen, output.Where, output.Found, output.Remedy);
                return ExitCode.NotWritten;
            case UsageError usage:
                Say(screen, verb, usage.Message, $"See '{verb} --help'.");
                return ExitCode.WrongUsage;
            case OperationCanceledException stopped:
                Say(screen, verb, stopped.Message, "Files that are in place are whole. Say the same command again to finish: no run counts twice.");
                return ExitCode.Interrupted;
            case IOException or UnauthorizedAccessException:
                Say(screen, verb, $"The file system refused: {FileSystemWords.Of(thrown)}.", "See whether the disk is full, the folder may be written to, or a drive was taken out, and say it again.");
                Details(thrown, screen);
                return ExitCode.NotWritten;
            case OutOfMemoryException:
                Say(screen, verb, "There is not enough memory for this.", "Close other programs, or take a shorter log; nothing half-written was left.");
                return ExitCode.ProgramFault;
            default:
                Say(screen, verb, $"This is a fault of the program, not of your input ({thrown.GetType().Name}).", $"Please report it with the command line; set {PushrodCommand.DetailsVariable}=1 to see the details.");
                Details(thrown, screen);
                return ExitCode.ProgramFault;
        }
    }

    /// <summary>On a pipe one line, so that a script can take it; on a terminal the remedy stands below.</summary>
    public static void Say(Screen screen, string where, string found, string remedy) => SheetPrinter.PrintError(
        screen.ErrorColumns is null
            ? [new($"{where}: {found} {remedy}".TrimEnd(), Tone.Alarm)]
            : remedy.Length == 0 ? [new($"{where}: {found}", Tone.Alarm)] : [new($"{where}: {found}", Tone.Alarm), new("  " + remedy, Tone.Plain)],
        screen);

    private static void Details(Exception thrown, Screen screen)
    {
        if (!string.IsNullOrEmpty(Environment.GetEnvironmentVariable(PushrodCommand.DetailsVariable)))
        {
            screen.Error.WriteLine(SheetPrinter.Plain(thrown.ToString()));
        }
    }
}
