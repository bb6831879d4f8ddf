using System.Text;
using System.Text.Json;
using Json.Schema;
using Telemetry.Car;
using Telemetry.Fatigue;
using Telemetry.Health;
using Telemetry.Logs;
using Telemetry.Output;
using Telemetry.Review;

namespace Telemetry.Tests.CrossChecks;

/// <summary>A sensor that is surely wrong takes with it every answer that rests on it, with the reason, and no other.</summary>
public class ConsequencesTests
{
    private static readonly Lazy<RunReview> Clean = new(() => Review(log => log));

    [Fact]
    public void With_healthy_sensors_nothing_is_withheld()
    {
        Assert.NotEqual(HealthVerdict.Unusable, Clean.Value.Health.Verdict);
        Assert.Empty(Clean.Value.CrossChecks.Findings);
        Assert.NotNull(Clean.Value.Aero.AtReference);
        Assert.DoesNotContain(Clean.Value.Fatigue.Components, part => part.Verdict == ComponentVerdict.Unknown);
        Assert.NotEmpty(Clean.Value.CrossChecks.Checks);
        Assert.Empty(Clean.Value.CrossChecks.Suspects);
    }

    [Theory]
    [InlineData("load cell, sign", "FL", new[] { "FL" })]
    [InlineData("load cell, kgf for N", "RR", new[] { "RR" })]
    [InlineData("load cells exchanged, left and right", "FL FR", new[] { "FL", "FR" })]
    [InlineData("load cells exchanged, front and rear", "FR RR", new[] { "FR", "RR" })]
    public void A_wrong_load_cell_makes_unknown_what_rests_on_it(string name, string label, string[] corners)
    {
        SensorInjection fault = SensorInjection.All().Single(one => one.Name == name && one.Label == label);
        RunReview review = Review(log => fault.Apply(log, Clean.Value.Run.Car));
        Corner[] wrong = [.. corners.Select(code => Corners.FromCode(code)!.Value)];

        Assert.Equal(HealthVerdict.Unusable, review.Health.Verdict);
        Assert.Null(review.Aero.AtReference);
        Assert.Contains("Physics says", review.Aero.WithheldBecause, StringComparison.Ordinal);
        Assert.Null(review.Platform.RollMomentFrontPct);
        foreach (ComponentResult part in review.Fatigue.Components)
        {
            bool restsOnIt = part.Component.Load.Any(term => wrong.Contains(term.Corner));
            ComponentResult before = Clean.Value.Fatigue.Components.Single(other => other.Component.Id == part.Component.Id);
            Assert.Equal(restsOnIt ? ComponentVerdict.Unknown : before.Verdict, part.Verdict);
            Assert.Equal(restsOnIt, double.IsNaN(part.PeakCompressionN));
            Assert.True(!restsOnIt || part.Reasons[0].Contains("Physics says", StringComparison.Ordinal), string.Join(" ", part.Reasons));
        }

        Assert.All(review.Kerbs.Strikes, strike => Assert.Equal(wrong.Contains(strike.Corner), strike.NotJudgedBecause is not null));
        Assert.All(review.Kerbs.Strikes.Where(strike => strike.NotJudgedBecause is not null), strike => Assert.False(strike.ExceedsLimit));
        Assert.All(wrong, corner => Assert.Contains(review.Actions, action => action.Urgency == ActionUrgency.BeforeNextRun && action.Subject.Contains(corner.Code(), StringComparison.Ordinal)));

        // JSON has no word for NaN: that it can be written shows that none is left.
        Summary summary = SummaryFile.From(review);
        string json = Encoding.UTF8.GetString(SummaryFile.ToJson(summary));
        Assert.DoesNotContain("NaN", json, StringComparison.Ordinal);
        using JsonDocument document = JsonDocument.Parse(json);
        Assert.True(JsonSchema.FromText(SummaryFile.Schema).Evaluate(document.RootElement).IsValid);
        Assert.Null(summary.Aero.Total.LoadN);
        Assert.NotNull(summary.Aero.WithheldBecause);
        Assert.NotEmpty(summary.Health.CrossChecks);
        Assert.Equal(review.Kerbs.Strikes.Count(strike => wrong.Contains(strike.Corner)), summary.Kerbs.NotJudged);
    }

    [Fact]
    public void A_run_too_short_to_compare_still_finds_a_reversed_cell_at_standstill()
    {
        // Twenty seconds of standstill and ten of pit lane: no cross-check, but at rest the cell pulls where the car presses.
        (RunLog log, CarDefinition car) = SimulatedLogs.Keep(2, 200, 3);
        SensorInjection fault = SensorInjection.All().First(one => one.Name == "load cell, sign");
        RunLog cut = fault.Apply(Cut(log, 30), car);
        RunReview review = RunAnalysis.Review(cut, car, ReviewOptions.Default);
        Assert.Empty(review.CrossChecks.Checks);
        Assert.Contains(review.Health.Findings, finding => finding.Kind == "cross_checks_not_made");
        HealthFinding lost = Assert.Single(review.Health.Findings, finding => finding.Kind == "static_load_lost");
        Assert.Equal((ChannelRole.PushrodLoadFL, HealthVerdict.Unusable), (lost.Role, lost.Severity));
        Assert.DoesNotContain(
            review.Fatigue.Components,
            part => part.Verdict == ComponentVerdict.Run && part.Component.Load.Any(term => term.Corner == Corner.FrontLeft));
    }

    private static RunLog Cut(RunLog log, double untilS) => log with
    {
        Channels = [.. log.Channels.Select(channel =>
        {
            int count = 0;
            while (count < channel.Time.Count && channel.Time.At(count) < untilS)
            {
                count++;
            }

            return channel with { Time = TimeBase.Even(channel.Time.StartS, channel.Time.StepS, count), Samples = [.. channel.Samples.Take(count)] };
        })],
    };

    private static RunReview Review(Func<RunLog, RunLog> change)
    {
        (RunLog log, CarDefinition car) = SimulatedLogs.Keep(4, 200, 3);
        return RunAnalysis.Review(change(log), car, ReviewOptions.Default);
    }
}
