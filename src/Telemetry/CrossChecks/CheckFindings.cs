using System.Collections.Immutable;
using System.Globalization;
using MathNet.Numerics;
using Telemetry.Car;
using Telemetry.Health;
using Telemetry.Runs;

namespace Telemetry.CrossChecks;

/// <summary>What health says of the cross-checks.</summary>
internal static class CheckFindings
{
    public static ImmutableArray<HealthFinding> Of(
        Run run, ImmutableArray<SuspectSearch.Round> rounds, FaultFit.Answer last, int degreesOfFreedom, ImmutableArray<CrossCheck> checks, CrossCheckOptions options)
    {
        List<HealthFinding> findings = [];
        foreach (SuspectSearch.Round round in rounds.Where(round => round.Found > 0))
        {
            AddSuspects(findings, run, round, options);
        }

        int faults = rounds.Count(round => round.Found > 0);
        double left = degreesOfFreedom - faults;
        double chance = left > 0 ? SpecialFunctions.GammaUpperRegularized(left / 2, last.ChiSquare / 2) : 1;
        if (chance < options.FalseAlarms)
        {
            CrossCheck worst = checks.MaxBy(check => Math.Abs(check.Deviation))!;
            findings.Add(new HealthFinding(
                "log",
                "cross_check_unexplained",
                faults >= options.MostFaults ? HealthVerdict.Unusable : HealthVerdict.Doubtful,
                double.NaN,
                double.NaN,
                Say($"The sensors contradict each other{(faults > 0 ? " even beside the faults above" : "")}, and no single fault explains it (chi-square {last.ChiSquare:0} for {left:0}). Furthest off: {worst.Name}, {worst.Measured:0.###} {worst.Unit} where {worst.Expected:0.###} is expected (give or take {worst.StandardUncertainty:0.###})."),
                "Every answer that needs these sensors is in doubt.",
                "Look at health.cross_checks for what does not fit; check the car file's masses, heights and rates, then the sensors by hand."));
        }
        else if (faults == 0)
        {
            AddRates(findings, checks, options);
        }

        return [.. findings];
    }

    /// <summary>One finding a channel; what cannot be told apart is named with all that it may be.</summary>
    private static void AddSuspects(List<HealthFinding> findings, Run run, SuspectSearch.Round round, CrossCheckOptions options)
    {
        var alike = round.Tested[..round.Found];
        foreach (ChannelRole role in alike.SelectMany(test => test.Hypothesis.Roles).Distinct().Order())
        {
            (SensorFault fault, FaultHypothesis mine) = alike.First(test => test.Hypothesis.Roles.Contains(role));
            HealthVerdict severity = alike.Where(test => test.Hypothesis.Roles.Contains(role)).Max(test => Severity(test.Fault, test.Hypothesis, options));
            findings.Add(new HealthFinding(
                run.Car.Mapping(role)?.Name ?? role.ToString(),
                FaultWords.Word(fault, mine.Size),
                severity,
                double.NaN,
                double.NaN,
                Message(round, mine),
                Consequence(role, fault, severity),
                FaultWords.Remedy(fault, mine.Size))
            {
                Role = role,
            });
        }
    }

    private static string Message(SuspectSearch.Round round, FaultHypothesis mine)
    {
        string others = string.Join("; or ", round.Tested[..round.Found].Select(test => test.Hypothesis).Where(other => other != mine).Select(other => other.Statement));
        string apart = others.Length > 0 ? $" This log cannot tell it from: {others}." : "";
        FaultHypothesis? next = round.Tested.Length > round.Found ? round.Tested[round.Found].Hypothesis : null;

        // What explains less than a quarter of it is no rival, only the first of those that explain nothing.
        string behind = next is null || next.LikelihoodGain < round.Tested[0].Hypothesis.LikelihoodGain / 4
            ? " No other explanation comes near."
            : Say($" Next best: {next.Statement}, worse by {(round.Tested[0].Hypothesis.Criterion - next.Criterion) / 2:0.#}.");
        return Say($"Physics says that {mine.Statement}: it raises the log likelihood of all cross-checks by {mine.LikelihoodGain / 2:0.#} ({Chance(mine.PValue)}).{apart}{behind}");
    }

    private static string Chance(double p) => p < 1e-6 ? "by chance less than once in a million logs" : Say($"by chance in {100 * p:0.####} % of healthy logs");

    private static HealthVerdict Severity(SensorFault fault, FaultHypothesis hypothesis, CrossCheckOptions options) => hypothesis.Kind switch
    {
        FaultKind.Offset => HealthVerdict.Doubtful,
        _ when hypothesis.PValue > options.FalseUnusable => HealthVerdict.Doubtful,
        _ when hypothesis.Roles[0] == ChannelRole.YawRate => HealthVerdict.Doubtful,
        FaultKind.Gain when FaultWords.Word(fault, hypothesis.Size) == "wrong_gain" =>
            Math.Abs(hypothesis.Size - 1) - (1.96 * hypothesis.SizeUncertainty) > Limit(hypothesis, options)
                ? HealthVerdict.Unusable
                : HealthVerdict.Doubtful,
        _ => HealthVerdict.Unusable,
    };

    private static double Limit(FaultHypothesis hypothesis, CrossCheckOptions options) => hypothesis.Roles[0] switch
    {
        <= ChannelRole.PushrodLoadRR => options.UnusableGain,
        <= ChannelRole.DamperTravelRR => options.UnusableTravelGain,
        ChannelRole.Speed => options.UnusableSpeedGain,
        _ => options.UnusableGain,
    };

    private static string Consequence(ChannelRole role, SensorFault fault, HealthVerdict severity) => (role, fault.Kind) switch
    {
        ( <= ChannelRole.PushrodLoadRR, FaultKind.Offset) => "Its offset is taken off with the zero; if it is no offset but the wrong gain, every load of this corner is wrong.",
        ( <= ChannelRole.PushrodLoadRR, _) => severity == HealthVerdict.Unusable
            ? "Every load of this corner is wrong: aero load, roll share, margins of its kerb strikes and the life of its parts are withheld."
            : "Every load of this corner may be off by as much: aero load, margins and life carry it beside their intervals.",
        ( <= ChannelRole.DamperTravelRR, _) => "Touches the installation ratio, ride heights from dampers, displacement modes and damper velocity.",
        (ChannelRole.Speed, _) => "Lift areas are off by twice the error of the speed; distances and places too.",
        (ChannelRole.YawRate, _) => "Touches the heading from which the wind is told.",
        (_, FaultKind.Offset) => "What the accelerometer reads at standstill is taken off for the aero load; other answers carry it.",
        _ => "Touches the vertical balance, so the aero load, the choice of straight passes and the contact-patch loads.",
    };

    /// <summary>A wheel rate that is surely not the car file's, with nothing else wrong, is the car file's business.</summary>
    private static void AddRates(List<HealthFinding> findings, ImmutableArray<CrossCheck> checks, CrossCheckOptions options)
    {
        foreach (CrossCheck check in checks.Where(check => check.Name.EndsWith("wheel rate in roll", StringComparison.Ordinal)))
        {
            double ratio = check.Measured / check.Expected;
            double scatter = Math.Sqrt(Math.Max(0, (check.StandardUncertainty * check.StandardUncertainty) - (options.ComplianceShare * options.ComplianceShare * check.Expected * check.Expected))) / check.Expected;
            if (Math.Abs(ratio - 1) > options.ToldComplianceShare && Math.Abs(ratio - 1) - (1.96 * scatter) > 0.1)
            {
                findings.Add(new HealthFinding(
                    "log",
                    "wheel_rate_disagrees",
                    HealthVerdict.Doubtful,
                    double.NaN,
                    double.NaN,
                    Say($"The {check.Name} is {check.Measured:0} N/mm by load against travel, {100 * Math.Abs(ratio - 1):0} % {(ratio > 1 ? "above" : "below")} the {check.Expected:0} N/mm of the car file's springs and bar."),
                    "No answer uses the rates, but a spring or bar that is not the one of the setup sheet is on the car, or a part of it is loose.",
                    "Check which springs and bar setting were on the car; correct the car file, or look for the loose part."));
            }
        }
    }

    private static string Say(FormattableString text) => text.ToString(CultureInfo.InvariantCulture);
}
