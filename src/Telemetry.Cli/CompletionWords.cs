using System.CommandLine;
using System.CommandLine.Completions;
using Telemetry.Car;

namespace Telemetry.Cli;

/// <summary>Values that an option or argument takes and that cost little to offer: for the shell's completion.</summary>
internal static class CompletionWords
{
    /// <summary>Adds the values to the options and arguments that have them, in all verbs.</summary>
    public static void AddTo(Command command)
    {
        foreach (Option option in command.Options)
        {
            if (option.Name == "--corner")
            {
                option.CompletionSources.Add(_ => [new("FL"), new("FR"), new("RL"), new("RR")]);
            }
        }

        // A part and the car that it is on: the car file knows its parts. A ledger is not asked, which may be a database on a network.
        if (command.Arguments.FirstOrDefault(argument => argument.Name == "PART") is { } part && command.Options.OfType<Option<string>>().FirstOrDefault(option => option.Name == "--car") is { } car)
        {
            part.CompletionSources.Add(context => PartsOf(context, car));
        }

        foreach (Command verb in command.Subcommands)
        {
            AddTo(verb);
        }
    }

    /// <summary>Serial numbers of the car file that was named before; none where it is not named yet or cannot be used, because a shell has no place for a complaint.</summary>
    private static IEnumerable<CompletionItem> PartsOf(CompletionContext context, Option<string> car)
    {
        if (context.ParseResult.GetResult(car) is not { Tokens: [var path] } || !File.Exists(path.Value))
        {
            return [];
        }

        try
        {
            return [.. CarFile.Read(path.Value).Components.Select(component => new CompletionItem(component.Id))];
        }
        catch (Exception error) when (error is InputError or IOException or UnauthorizedAccessException)
        {
            return [];
        }
    }
}
