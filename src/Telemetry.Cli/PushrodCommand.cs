using System.CommandLine;
using System.CommandLine.Help;
using Telemetry.Cli.Verbs;
using Telemetry.Output;

namespace Telemetry.Cli;

/// <summary>The command: parses, runs a verb, and turns what went wrong into a sentence and an exit code.</summary>
internal static class PushrodCommand
{
    /// <summary>Set to anything, it shows the details of a fault of the program.</summary>
    public const string DetailsVariable = "PUSHROD_DETAILS";

    private const int HelpWidth = 80;

    /// <summary>Runs without colour, as when the output goes to a file.</summary>
    public static int Run(string[] args, TextWriter output, TextWriter error) => Run(args, new Screen(output, error));

    /// <summary>Runs on the real stages.</summary>
    public static int Run(string[] args, Screen screen) => Run(args, screen, Pipeline.Real);

    /// <summary>Runs one command line.</summary>
    /// <param name="args">The words behind the command's name.</param>
    /// <param name="screen">Where to write.</param>
    /// <param name="pipeline">The stages.</param>
    /// <returns>An exit code, see <see cref="ExitCode"/>.</returns>
    public static int Run(string[] args, Screen screen, Pipeline pipeline)
    {
        ParseResult? parsed = null;
        try
        {
            // '@' starts no response file here: it may be the first letter of a log's name.
            parsed = Root(screen, pipeline).Parse(args, new ParserConfiguration { ResponseFileTokenReplacer = null });
            if (parsed.Errors.Count > 0)
            {
                return WrongUsage(parsed, screen);
            }

            return parsed.Invoke(new InvocationConfiguration { Output = screen.Out, Error = screen.Error, EnableDefaultExceptionHandler = false });
        }
        catch (Exception thrown)
        {
            return Complaint.Tell(Innermost(thrown), Called(parsed), screen);
        }
    }

    private static RootCommand Root(Screen screen, Pipeline pipeline)
    {
        RootCommand root = new("Answers from a run's log before the car goes out again: aero load, kerb strikes, fatigue life. The numbers are estimates, not a clearance to run.")
        {
            AnalyseVerb.Create(screen, pipeline),
            CheckVerb.Create(screen, pipeline),
            ImportVerb.Create(screen, pipeline),
            CutVerb.Create(screen),
            CompareVerb.Create(screen, pipeline),
            LifeVerb.Create(screen),
            ShimsVerb.Create(screen, pipeline),
            SimulateVerb.Create(screen, pipeline),
            WatchVerb.Create(screen, pipeline),
            CompletionVerb.Create(screen),
        };
        root.HelpName = "pushrod";
        CompletionWords.AddTo(root);
        foreach (Option option in root.Options)
        {
            if (option is HelpOption { Action: HelpAction action } help)
            {
                action.MaxWidth = Math.Min(HelpWidth, screen.OutColumns?.Invoke() ?? HelpWidth);
                help.Action = new HelpExamples(action);
            }
        }

        return root;
    }

    private static int WrongUsage(ParseResult parsed, Screen screen)
    {
        string verb = Called(parsed);
        string help = $"See '{verb} --help'.";
        if (UsageWords.UnknownWord(parsed) is { } unknown)
        {
            Complaint.Say(screen, verb, unknown, help);
            return ExitCode.WrongUsage;
        }

        string[] messages = [.. parsed.Errors.Select(UsageWords.Of).Distinct()];
        for (int i = 0; i < messages.Length; i++)
        {
            Complaint.Say(screen, verb, messages[i], i == messages.Length - 1 ? help : "");
        }

        return ExitCode.WrongUsage;
    }

    /// <summary>The words that were called: "pushrod life fit".</summary>
    private static string Called(ParseResult? parsed) =>
        parsed is null ? "pushrod" : ("pushrod " + PathOf(parsed.CommandResult.Command)).TrimEnd();

    /// <summary>The words that lead to a verb's help: "life fit ".</summary>
    private static string PathOf(Command command) =>
        command is RootCommand ? "" : string.Concat(command.Parents.OfType<Command>().Take(1).Select(PathOf)) + command.Name + " ";

    /// <summary>Work on several threads wraps what was thrown; the first cause that says something to a person goes before all others.</summary>
    internal static Exception Innermost(Exception thrown)
    {
        if (thrown is not AggregateException many)
        {
            return thrown;
        }

        System.Collections.ObjectModel.ReadOnlyCollection<Exception> causes = many.Flatten().InnerExceptions;
        return causes.FirstOrDefault(cause => cause is InputError or OutputError or UsageError or OperationCanceledException) ?? causes[0];
    }
}
