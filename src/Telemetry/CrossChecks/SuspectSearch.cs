using System.Collections.Immutable;
using MathNet.Numerics;

namespace Telemetry.CrossChecks;

/// <summary>Tests every explanation against healthy sensors, takes the likeliest if chance does not explain it, and looks for another beside it.</summary>
/// <remarks>
/// A gain or an offset nests healthy sensors, so twice its gain in log likelihood is chi-square with one degree of freedom in a healthy log (S. S. Wilks,
/// Ann. Math. Stat. 9 (1938) 60). An exchange has no free number; the ratio of two likelihoods exceeds c with a probability of at most 1/c, whatever the
/// models (Markov's inequality). Both are multiplied by the number of explanations (Bonferroni). Ranked is by the Bayesian information criterion
/// (G. Schwarz, Ann. Stat. 6 (1978) 461).
/// </remarks>
internal static class SuspectSearch
{
    /// <summary>A round of the search.</summary>
    /// <param name="Tested">All explanations tried in it, best first, each with what it does and how sure it is.</param>
    /// <param name="Found">How many of the first were taken: one if it could be told apart, more if they are the same to this log, none if chance will do.</param>
    public sealed record Round(ImmutableArray<(SensorFault Fault, FaultHypothesis Hypothesis)> Tested, int Found);

    public static (ImmutableArray<Round> Rounds, FaultFit.Answer Healthy, FaultFit.Answer Last) Run(
        FaultFit fit, ImmutableArray<SensorFault> faults, FaultContext context, CrossCheckOptions options)
    {
        FaultFit.Answer healthy = fit.Best([], []);
        FaultFit.Answer current = healthy;
        List<SensorFault> taken = [];
        List<double> sizes = [];
        ImmutableArray<Round>.Builder rounds = ImmutableArray.CreateBuilder<Round>();
        while (taken.Count < options.MostFaults)
        {
            SensorFault[] left = [.. faults.Where(fault => !taken.Exists(t => t.Subject == fault.Subject && t.Kind == fault.Kind))];
            var answers = new FaultFit.Answer[left.Length];
            FaultFit.Answer before = current;

            // Nobody can gain more than all that does not fit: where that is too little for a finding, one step for the table is enough.
            bool isIdle = Tail(before.ChiSquare, 1) * faults.Length > options.FalseAlarms;
            Workers.Run(left.Length, i => answers[i] = isIdle
                ? fit.Best([.. taken, left[i]], [.. sizes, left[i].Neutral], 1)
                : fit.Best([.. taken, left[i]], [.. sizes, left[i].Start(context)]));
            var tested = left.Select((fault, i) => (Fault: fault, Hypothesis: Judge(fit, fault, answers[i], before, faults.Length), Answer: answers[i]))
                .OrderByDescending(test => test.Hypothesis.Criterion)
                .ToArray();
            bool isFound = tested.Length > 0 && tested[0].Hypothesis.PValue < options.FalseAlarms && tested[0].Hypothesis.Criterion > 0;
            int alike = isFound
                ? tested.Count(test => test.Hypothesis.PValue < options.FalseAlarms && tested[0].Hypothesis.Criterion - test.Hypothesis.Criterion < options.ApartBy)
                : 0;
            rounds.Add(new([.. tested.Select(test => (test.Fault, test.Hypothesis))], alike));
            if (!isFound)
            {
                break;
            }

            taken.Add(tested[0].Fault);
            current = tested[0].Answer;
            sizes = [.. current.Sizes];
        }

        return (rounds.ToImmutable(), healthy, current);
    }

    /// <summary>Probability, at most, that twice a gain in log likelihood reaches a value by chance: chi-square for free numbers, Markov's bound without any.</summary>
    public static double Tail(double gain, int freeNumbers) =>
        gain <= 0 ? 1
        : freeNumbers == 0 ? Math.Exp(-gain / 2)
        : SpecialFunctions.GammaUpperRegularized(freeNumbers / 2.0, gain / 2);

    private static FaultHypothesis Judge(FaultFit fit, SensorFault fault, FaultFit.Answer answer, FaultFit.Answer before, int tests)
    {
        int numbers = fault.FreesResponses ? fit.ResponseCount : fault.HasSize ? 1 : 0;
        double gain = before.Criterion - answer.Criterion;

        // Freed responses have wide deviations, whose determinant is no evidence: only the squared deviations count.
        gain = fault.FreesResponses ? before.ChiSquare - answer.ChiSquare : gain;
        double tail = Tail(gain, numbers);
        double size = fault.HasSize ? answer.Sizes[^1] : double.NaN;
        return new()
        {
            Statement = FaultWords.Statement(fault, size, fault.HasSize ? answer.SizeDeviations[^1] : double.NaN),
            Kind = fault.Kind,
            Roles = fault.Roles,
            Size = size,
            SizeUncertainty = fault.HasSize ? answer.SizeDeviations[^1] : double.NaN,
            LikelihoodGain = gain,
            FreeNumbers = numbers,
            PValue = Math.Min(1, tests * tail),
            Criterion = gain - (numbers * Math.Log(fit.Statements)),
        };
    }
}
