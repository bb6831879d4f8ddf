using System.CommandLine;
using Telemetry.Output;

namespace Telemetry.Cli.Verbs;

/// <summary>The options that say what is written of a run.</summary>
internal sealed class ResultsAsked
{
    public Option<bool> NoPlots { get; } = new("--no-plots") { Description = "Leave the plots out, for speed." };

    public Option<bool> StrikeHistories { get; } = new("--strike-histories") { Description = "Write the load around each kerb strike, sample by sample, as one more table (tables/strike_histories.csv)." };

    public ResultOptions Of(ParseResult parsed) => new() { WithPlots = !parsed.GetValue(NoPlots), WithStrikeHistories = parsed.GetValue(StrikeHistories) };
}
