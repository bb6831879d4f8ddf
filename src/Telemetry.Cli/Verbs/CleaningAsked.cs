using System.CommandLine;
using Telemetry.Car;
using Telemetry.Cleaning;

namespace Telemetry.Cli.Verbs;

/// <summary>The switches for faulty samples, the same at each verb that reads a log.</summary>
internal sealed class CleaningAsked
{
    private const string Keep = "keep";
    private const string Remove = "remove";

    public CleaningAsked()
    {
        Spikes.AcceptOnlyFromAmong(Keep, Remove);
    }

    public Option<string> Spikes { get; } = new("--spikes")
    {
        Description = "Samples that no wheel can make: keep them, or remove them (a straight line stands in). What hangs on them is told either way.",
        HelpName = "keep|remove",
        DefaultValueFactory = _ => Keep,
    };

    public Option<double?> BridgeGaps { get; } = Ask.ForQuantity(
        "--bridge-gaps", "TIME", "Draw a straight line over gaps up to this long, with its unit: \"10 ms\". Default: none.", Quantity.ReadTime);

    public CleaningOptions Of(ParseResult parsed)
    {
        double bridge = parsed.GetValue(BridgeGaps) ?? 0;
        return bridge is >= 0 and <= ChannelCleaning.LongestBridgeS
            ? new CleaningOptions { RemoveSpikes = parsed.GetValue(Spikes) == Remove, BridgeGapsS = bridge }
            : throw new UsageError(FormattableString.Invariant($"Option '--bridge-gaps': from 0 to {ChannelCleaning.LongestBridgeS} s. What lies in a longer gap nobody knows, so it stays open."));
    }
}
