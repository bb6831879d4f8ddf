using System.Collections.Immutable;
using Telemetry.Car;
using Telemetry.Health;
using Telemetry.Runs;
using Telemetry.WheelLoads;

namespace Telemetry.CrossChecks;

/// <summary>Holds the sensors of a run against each other and names the one that physics contradicts.</summary>
public static class SensorCrossChecks
{
    /// <summary>Responses of load cells and dampers to speed, cornering, braking, driving and vertical acceleration, against mirror symmetry, masses, heights and springs of the car file, and accelerometers and speed against each other.</summary>
    /// <param name="wheels">Zeroed loads and travels of the run.</param>
    /// <param name="options">How far a healthy car may be from the model, and how sure a finding must be.</param>
    /// <returns>The comparisons, the explanations that were tested, and findings. A log with too little driving, or too few sensors, gives none and says why in <see cref="CrossCheckResult.LeftOut"/>.</returns>
    public static CrossCheckResult From(WheelLoadSet wheels, CrossCheckOptions options)
    {
        ArgumentNullException.ThrowIfNull(wheels);
        ArgumentNullException.ThrowIfNull(options);
        Run run = wheels.Run;
        ImmutableArray<string> leftOut = CheckTable.LeftOut(run);
        if (!run.Has(ChannelRole.Speed))
        {
            return Nothing([.. leftOut, "Without a speed no sensor can be held against another."]);
        }

        CheckBlocks blocks = CheckBlocks.Of(wheels, options);
        SingleStatements single = SingleStatements.Of(wheels, blocks, options);
        (double, double) standing = (single.Measured[(int)Single.StandingLongitudinal], single.Measured[(int)Single.StandingLateral]);
        MotionResponses? responses = MotionResponses.Of(blocks, run.Car, standing, options);
        if (responses is null)
        {
            return Nothing([.. leftOut, FormattableString.Invariant($"The run has too little driving above {options.RunningMps * 3.6:0} km/h with every sensor alive: {options.FewestClusters} stretches of {options.ClusterS:0} s are the least.")]);
        }

        ExpectedResponses expected = ExpectedResponses.Of(run, options);
        FaultContext context = new(
            responses,
            expected,
            single,
            [.. Corners.All.Select(corner => SingleStatements.StaticN(wheels, corner))],
            new(run.Car.Suspension.Front.InstallationRatio.At(0), run.Car.Suspension.Rear.InstallationRatio.At(0)),
            new(run.Car.Suspension.Front.DamperRatio.At(0), run.Car.Suspension.Rear.DamperRatio.At(0)));
        ResponseModel model = ResponseModel.Of(responses, expected, run.Car, options);
        FaultFit fit = new(model, single);
        (ImmutableArray<SuspectSearch.Round> rounds, FaultFit.Answer healthy, FaultFit.Answer last) = SuspectSearch.Run(fit, FaultList.Of(run, context), context, options);
        ImmutableArray<CrossCheck> checks = CheckTable.Of(model, single, expected, run.Car, options);
        return new()
        {
            Checks = checks,
            Hypotheses = rounds.IsEmpty ? [] : [.. rounds[0].Tested.Select(test => test.Hypothesis)],
            Suspects = [.. rounds.Where(round => round.Found > 0).Select(round => round.Tested[0].Hypothesis)],
            ChiSquare = healthy.ChiSquare,
            DegreesOfFreedom = fit.DegreesOfFreedom,
            LeftOut = leftOut,
            Findings = CheckFindings.Of(run, rounds, last, fit.DegreesOfFreedom, checks, options),
        };
    }

    private static CrossCheckResult Nothing(ImmutableArray<string> why) => CrossCheckResult.None with
    {
        LeftOut = why,
        Findings =
        [
            new HealthFinding(
                "log",
                "cross_checks_not_made",
                HealthVerdict.Good,
                double.NaN,
                double.NaN,
                $"The sensors were not held against each other. {why[^1]}",
                "A reversed, exchanged or wrongly scaled sensor would not be seen.",
                "Press each corner by hand and see that the right channels answer the right way."),
        ],
    };
}
