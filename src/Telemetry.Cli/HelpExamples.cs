using System.CommandLine;
using System.CommandLine.Help;
using System.CommandLine.Invocation;

namespace Telemetry.Cli;

/// <summary>Help as the library lays it out, with examples and exit codes below.</summary>
internal sealed class HelpExamples(HelpAction action) : SynchronousCommandLineAction
{
    internal static readonly string[] RootExamples =
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
        output.WriteLine("Exit codes:");
        output.WriteLine("  0    done");
        output.WriteLine("  1    done, and a person must look: a finding (with --fail-on-finding),");
        output.WriteLine("       laps that are not sure (life forecast), sums that differ (life verify)");
        output.WriteLine("  2    wrong usage");
        output.WriteLine("  3    the input cannot be used");
        output.WriteLine("  4    the result could not be written: disk full, folder not writable");
        output.WriteLine("  70   fault of the program; PUSHROD_DETAILS=1 shows where");
        output.WriteLine("  130  stopped by Ctrl+C; what is in place is whole");
        return ExitCode.Done;
    }

    /// <summary>A command with examples of its use, each a whole line.</summary>
    internal sealed class Verb(string name, string description, params string[] examples) : Command(name, description)
    {
        public IReadOnlyList<string> Examples { get; } = examples;
    }
}
