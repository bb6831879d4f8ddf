using System.CommandLine;
using System.CommandLine.Help;
using System.CommandLine.Invocation;

namespace Telemetry.Cli;

/// <summary>Help as the library lays it out, with examples and exit codes below.</summary>
internal sealed class HelpExamples(HelpAction action) : SynchronousCommandLineAction
{
    private static readonly string[] RootExamples =
    [
        "pushrod analyse run7.csv --car car.toml",
        "pushrod check --car car.toml",
    ];

    /// <inheritdoc/>
    public override bool ClearsParseErrors => true;

    /// <inheritdoc/>
    public override int Invoke(ParseResult parseResult)
    {
        action.Invoke(parseResult);
        TextWriter output = parseResult.InvocationConfiguration.Output;
        output.WriteLine("Examples:");
        foreach (string example in parseResult.CommandResult.Command is Verb verb ? verb.Examples : RootExamples)
        {
            output.WriteLine("  " + example);
        }

        output.WriteLine();
        output.WriteLine("Exit codes: 0 done, 1 a finding needs a person (with --fail-on-finding),");
        output.WriteLine("2 wrong usage, 3 the input cannot be used, 4 the result could not be written.");
        return ExitCode.Done;
    }

    /// <summary>A command with examples of its use, each a whole line.</summary>
    internal sealed class Verb(string name, string description, params string[] examples) : Command(name, description)
    {
        public IReadOnlyList<string> Examples { get; } = examples;
    }
}
