using Telemetry.Car;
using Telemetry.Cleaning;
using Telemetry.Fatigue;
using Telemetry.Logs;
using Telemetry.Output;
using Telemetry.Review;
using Telemetry.Tests.Health;

namespace Telemetry.Tests.Review;

/// <summary>A whole review of a run with spikes put into one load cell: what hangs on them is told, kept or removed.</summary>
public class RepairEffectTests
{
    private static readonly RunLog Clean =
        LogReader.Read(Path.Combine(Repository.Root, "sample-runs", "baseline", "log.parquet"), LogOptions.Default);

    private static readonly CarDefinition Car = CarFile.Read(Path.Combine(Repository.Root, "sample-runs", "baseline", "car.toml"));

    /// <summary>Tall enough to pass every limit of the corner.</summary>
    private static readonly RunLog Spiked = InjectedFaults.Spikes(Clean, "Pushrod load FL", 12, 14_000, 1, 5);

    private static readonly Lazy<RunReview> Untouched = new(() => RunAnalysis.Review(Clean, Car, ReviewOptions.Default));
    private static readonly Lazy<RunReview> Kept = new(() => RunAnalysis.Review(Spiked, Car, ReviewOptions.Default));
    private static readonly Lazy<RunReview> Removed = new(() =>
        RunAnalysis.Review(Spiked, Car, ReviewOptions.Default with { Cleaning = new CleaningOptions { RemoveSpikes = true } }));

    private static ComponentResult Part(RunReview review) => review.Fatigue.Components.Single(part => part.Component.Id == "PR-FL-014");

    private static RepairEffect Effect(RunReview review) => review.RepairEffects.Single(effect => effect.ComponentId == "PR-FL-014");

    [Fact]
    public void A_clean_run_has_no_effect_to_tell() => Assert.Empty(Untouched.Value.RepairEffects);

    [Fact]
    public void Spikes_that_are_kept_count_and_what_hangs_on_them_is_told()
    {
        RepairEffect effect = Effect(Kept.Value);
        Assert.False(effect.IsRepaired);
        Assert.Equal(Part(Kept.Value).DamageRun, effect.AsLogged.DamageRun);
        Assert.Equal(ComponentVerdict.Retire, effect.AsLogged.Verdict);
        Assert.Equal(ComponentVerdict.Run, effect.Repaired.Verdict);
        Assert.Contains(Kept.Value.Actions, action => action.Subject == "PR-FL-014" && action.Instruction.StartsWith("Look at the trace", StringComparison.Ordinal));
    }

    [Fact]
    public void Without_them_damage_and_peak_are_those_of_the_run_before_the_spikes_were_put_in()
    {
        RepairEffect effect = Effect(Removed.Value);
        Assert.True(effect.IsRepaired);
        Assert.Equal(Part(Untouched.Value).PeakCompressionN, Part(Removed.Value).PeakCompressionN, 1e-3 * Part(Untouched.Value).PeakCompressionN);
        Assert.Equal(Part(Untouched.Value).DamageRun!.Value, Part(Removed.Value).DamageRun!.Value, 0.01 * Part(Untouched.Value).DamageRun!.Value);
        Assert.Equal(Effect(Kept.Value) with { IsRepaired = true }, effect);
    }

    [Fact]
    public void Bridging_that_finds_no_gap_leaves_the_spikes_counted_as_logged()
    {
        RunReview review = RunAnalysis.Review(Spiked, Car, ReviewOptions.Default with { Cleaning = new CleaningOptions { BridgeGapsS = 0.01 } });
        Assert.Equal(Effect(Kept.Value), Effect(review));
    }

    [Fact]
    public void A_part_on_another_corner_is_not_touched() =>
        Assert.DoesNotContain(Kept.Value.RepairEffects, effect => effect.ComponentId == "PR-RL-008");

    [Fact]
    public void The_raw_channel_stands_beside_the_repaired_one_with_a_quality_for_each_sample()
    {
        RunLog channels = ProcessedChannels.From(Removed.Value);
        double[] raw = [.. channels.Find("pushrod load FL as logged")!.Samples];
        double[] quality = [.. channels.Find("quality pushrod load FL")!.Samples];
        Assert.Equal(12, quality.Count(value => value == (int)SampleQuality.Repaired));
        Assert.Equal((float)Removed.Value.Cleaning.AsLogged.OnClock(ChannelRole.PushrodLoadFL)[Array.IndexOf(quality, 2)], raw[Array.IndexOf(quality, 2)]);
        Assert.Null(channels.Find("pushrod load FR as logged"));
        Assert.DoesNotContain(channels.Find("quality pushrod load FR")!.Samples, value => value != 0);
    }
}
