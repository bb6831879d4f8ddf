using System.CommandLine;

namespace Telemetry.Cli;

/// <summary>Values that an option takes and that cost nothing to offer: for the shell's completion.</summary>
internal static class CompletionWords
{
    /// <summary>Adds the values to the options that have them, in all verbs.</summary>
    public static void AddTo(Command command)
    {
        foreach (Option option in command.Options)
        {
            if (option.Name == "--corner")
            {
                option.CompletionSources.Add(_ => [new("FL"), new("FR"), new("RL"), new("RR")]);
            }
        }

        foreach (Command verb in command.Subcommands)
        {
            AddTo(verb);
        }
    }
}
