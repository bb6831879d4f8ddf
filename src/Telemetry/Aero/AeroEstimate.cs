using System.Collections.Immutable;
using Telemetry.Car;
using Telemetry.Runs;
using Telemetry.WheelLoads;

namespace Telemetry.Aero;

/// <summary>Aero load and lift area from wheel loads on straights (equations E4 to E6).</summary>
public static class AeroEstimate
{
    /// <summary>Name of the wind's part in the budget where wind was estimated.</summary>
    internal const string WindPrior = "wind that the passes do not tell";

    /// <summary>Name of the part of pitch under acceleration.</summary>
    internal const string PitchPrior = "pitch under acceleration";

    /// <summary>Name of the part of the effect of ride height.</summary>
    internal const string HeightPrior = "effect of ride height";

    /// <summary>Name of the part of the curvature.</summary>
    internal const string CurvaturePrior = "curvature of the lift area";

    /// <summary>Estimates the aero load at a reference speed and as a curve, each with its 95 % interval.</summary>
    /// <param name="wheels">Wheel loads of a run.</param>
    /// <param name="options">Gates, assumptions and the reference speed.</param>
    /// <returns>The estimate; without a headline and with the reason where the log does not carry one. Windows and passes are given either way.</returns>
    public static AeroResult From(WheelLoadSet wheels, AeroOptions options)
    {
        ArgumentNullException.ThrowIfNull(wheels);
        ArgumentNullException.ThrowIfNull(options);
        Run run = wheels.Run;
        AirState air = AirOfRun.Of(run);
        Standstills still = Standstills.Of(wheels);
        BlockMeans blocks = BlockMeans.Of(wheels, options);
        RunWindow[] windows = QuasiSteadyGate.Windows(run, blocks, options, still.AccelerationX, still.AccelerationY);
        (bool headingKnown, bool fromNorth) = Headings.Set(windows, blocks, run.Clock.StepS, still.YawRate, still.AccelerationY);
        ImmutableArray<StraightPass> passes = StraightPasses.Number(windows, options);
        List<RunWindow> used = [.. windows.Where(w => w.Pass > 0)];
        BalanceTerms terms = BalanceTerms.Of(run.Car, still.FuelKg, still.LoadN);
        (double FrontN, double RearN) remainder = still.Remainder(terms);
        AeroResult withheld = new()
        {
            ReferenceSpeedMps = options.AtSpeedMps ?? double.NaN,
            AtReference = null,
            WithheldBecause = Obstacle(wheels, options, blocks, passes),
            Curve = [],
            Passes = passes,
            Windows = [.. windows.Select(w => Shown(w, terms, remainder))],
            Air = air,
            Wind = new WindState(null, null, fromNorth, "No estimate was made."),
            Budget = [],
            Notes = [],
            Blocks = blocks,
            Cut = [.. windows],
        };
        if (withheld.WithheldBecause is not null)
        {
            return withheld;
        }

        return Solve(withheld, new AeroEvidence(wheels, air, still, passes, used, headingKnown, fromNorth, blocks.AirSpeed is not null, blocks.HeightMm is not null, blocks.HeightSource), options);
    }

    /// <summary>The answer from windows and passes that are there already.</summary>
    /// <param name="withheld">The result without a headline, to be filled.</param>
    /// <param name="evidence">What the run shows.</param>
    /// <param name="options">Assumptions and the reference speed.</param>
    internal static AeroResult Solve(AeroResult withheld, AeroEvidence evidence, AeroOptions options)
    {
        ImmutableArray<StraightPass> passes = evidence.Passes;
        CoveredSpeeds covered = CoveredSpeeds.Of(passes, options.FewestPasses);
        if (ObstacleOfSpeed(covered, options) is { } tooNarrow)
        {
            return withheld with { WithheldBecause = tooNarrow };
        }

        double reference = options.AtSpeedMps ?? covered.Reference(passes);
        if (Fit(evidence, options, reference) is not { } fitted)
        {
            return withheld with { WithheldBecause = "The straight passes do not determine a lift area: their speeds and headings are too much alike." };
        }

        (AeroFit fit, ModelWindow[] rows, List<SystematicPart> parts) = fitted;
        double spread = evidence.HeadingKnown ? Headings.Spread(passes) : 0;
        AeroInterval interval = new(fit, parts);
        AeroAtSpeed headline = interval.At(reference);
        if (!IsFinite(headline.TotalLoadN) || !IsFinite(headline.FrontLiftAreaM2) || !IsFinite(headline.RearLiftAreaM2) || !IsFinite(headline.BalanceFrontPct))
        {
            return withheld with { WithheldBecause = "The loads do not make an aero load at all: the fit gives no finite number. Look at the log's health and at the car file's masses and corner weights." };
        }

        return withheld with
        {
            ReferenceSpeedMps = reference,
            AtReference = headline,
            Curve = [.. covered.Curve(options.CurvePoints).Select(interval.At)],
            Wind = WindReport.Of(fit, options, StationWind.Of(evidence, options), evidence.MeasuresAir, evidence.HeadingKnown, evidence.FromNorth, spread),
            Budget = [.. interval.Budget(reference)],
            Notes = AeroNotes.Of(evidence.Wheels.Run, fit, rows, evidence.Still, evidence.Still.Remainder(evidence.Terms), evidence.Terms, evidence.HeightSource, passes, interval.DegreesOfFreedom(reference), interval.ExceedsModel(reference)),
        };
    }

    /// <summary>The fitted model, its windows, and what all passes share in error; null when the windows do not determine it.</summary>
    internal static (AeroFit Fit, ModelWindow[] Rows, List<SystematicPart> Parts)? Fit(AeroEvidence evidence, AeroOptions options, double reference)
    {
        (WheelLoadSet wheels, Standstills still, IReadOnlyList<RunWindow> used) = (evidence.Wheels, evidence.Still, evidence.Used);
        BalanceTerms terms = evidence.Terms;
        (double FrontN, double RearN) remainder = still.Remainder(terms);
        double density = evidence.Air.DensityKgM3;
        double spread = evidence.HeadingKnown ? Headings.Spread(evidence.Passes) : 0;
        bool hasWind = !evidence.MeasuresAir && evidence.HeadingKnown && spread >= options.SmallestHeadingSpreadRad;
        StationWind? station = StationWind.Of(evidence, options);
        ModelWindow[] rows = [.. used.Select(w =>
        {
            PerAxle<double> squeeze = LinkSqueeze.OfMm(w, terms, wheels.Run.Car.Suspension, w.AccelerationX - still.AccelerationX);
            double heading = evidence.Passes[w.Pass - 1].HeadingRad;
            return ForModel(
                w,
                VerticalBalance.Of(w, terms),
                remainder,
                hasWind ? heading : double.NaN,
                -still.AccelerationX,
                station is null ? 0 : StationWind.HeadMps(w, heading, options)) with
            {
                FrontSqueezeMm = squeeze.Front,
                RearSqueezeMm = squeeze.Rear,
            };
        })];
        double unknownWind = station?.StandardUncertaintyMps ?? options.AssumedWindMps;
        PerAxle<double> weight = SteadyWeight(used, terms, remainder);
        LiftAreaBasis basis = BasisOf(rows, weight, reference, evidence, options);
        AeroModel model = new(density, basis, hasWind, weight.Front, weight.Rear);
        List<Prior> priors = Priors(model, rows, options, unknownWind);
        if (AeroFit.Of(model, rows, evidence.Passes.Length, priors, new(options.GustScaleMps, options.CalmShare, options.CalmGustScaleMps)) is not { } fit)
        {
            return null;
        }

        return (fit, rows, SystematicParts.List(wheels, options, fit, rows, used, terms, still, evidence.Air, priors, unknownWind));
    }

    private static bool IsFinite(Estimate estimate) => double.IsFinite(estimate.Value + estimate.Low95 + estimate.High95);

    /// <summary>A window as the model sees it.</summary>
    internal static ModelWindow ForModel(RunWindow window, (double FrontN, double RearN) load, (double FrontN, double RearN) remainder, double headingRad, double offsetX, double headMps = 0)
    {
        (double sine, double cosine) = double.IsFinite(headingRad) ? Math.SinCos(headingRad) : (0, 0);
        return new(
            load.FrontN - remainder.FrontN,
            load.RearN - remainder.RearN,
            window.FlowSpeedMps + headMps,
            window.FlowSpeedSquared + (2 * headMps * window.FlowSpeedMps) + (headMps * headMps),
            window.AccelerationX + offsetX,
            window.AxleLoadN(Axle.Front) - load.FrontN + remainder.FrontN,
            window.AxleLoadN(Axle.Rear) - load.RearN + remainder.RearN,
            cosine,
            sine,
            Math.Max(0, window.Pass - 1));
    }

    private static string? Obstacle(WheelLoadSet wheels, AeroOptions options, BlockMeans blocks, ImmutableArray<StraightPass> passes)
    {
        if (options.WithholdBecause is { } outside)
        {
            return outside;
        }

        if (wheels.Pushrods.WithheldBecause is { } zero)
        {
            return zero;
        }

        if (blocks.Speed is null)
        {
            return "The log has no speed, so aero load cannot be tied to one.";
        }

        if (blocks.AccelerationY is null && blocks.YawRate is null)
        {
            return "The log has neither lateral acceleration nor yaw rate, so straights cannot be told from corners.";
        }

        return passes.Length < options.FewestPasses
            ? FormattableString.Invariant($"The run has {passes.Length} straight passes that are quasi-steady; below {options.FewestPasses} there is no honest interval.")
            : null;
    }

    private static string? ObstacleOfSpeed(CoveredSpeeds covered, AeroOptions options)
    {
        double low = covered.LowestMps * 3.6;
        double high = covered.HighestMps * 3.6;
        if (!(covered.HighestMps >= options.SmallestSpeedRatio * covered.LowestMps))
        {
            return FormattableString.Invariant($"The straight passes cover {low:0} to {high:0} km/h; a lift area needs the highest at least {options.SmallestSpeedRatio:0.##} times the lowest.");
        }

        return options.AtSpeedMps is { } asked && !(asked >= covered.LowestMps && asked <= covered.HighestMps)
            ? FormattableString.Invariant($"{asked * 3.6:0} km/h was asked for, and at least {options.FewestPasses} straight passes cover only {low:0} to {high:0} km/h.")
            : null;
    }

    /// <summary>What the springs carry at steady speed beside the aero load, with the mean fuel of the windows, N.</summary>
    private static PerAxle<double> SteadyWeight(IReadOnlyList<RunWindow> used, BalanceTerms terms, (double FrontN, double RearN) remainder)
    {
        double sprungN = (terms.WithoutFuelKg + used.Average(w => w.FuelKg) - terms.UnsprungKg) * StandardGravity.Mps2;
        double behind = terms.BehindFrontAxleM / terms.WheelbaseM;
        return new((sprungN * (1 - behind)) + remainder.FrontN, (sprungN * behind) + remainder.RearN);
    }

    /// <summary>Ride heights where they are known, else dynamic pressure.</summary>
    private static LiftAreaBasis BasisOf(ModelWindow[] rows, PerAxle<double> weight, double reference, AeroEvidence evidence, AeroOptions options)
    {
        // The springs' line is that of steady speed.
        double seen = LinkSqueeze.SeenIn(evidence.HeightSource);
        IReadOnlyList<RunWindow> used = evidence.Used;
        SpringLine? front = !evidence.HasHeights ? null : SpringLine.Of([.. used.Select(w => w.AxleLoadN(Axle.Front))], [.. used.Select((w, i) => w.FrontHeightMm + (seen * rows[i].FrontSqueezeMm))]);
        SpringLine? rear = !evidence.HasHeights ? null : SpringLine.Of([.. used.Select(w => w.AxleLoadN(Axle.Rear))], [.. used.Select((w, i) => w.RearHeightMm + (seen * rows[i].RearSqueezeMm))]);
        if (front is null || rear is null)
        {
            return new PressureBasis(evidence.Air.DensityKgM3 * reference * reference / 2, options);
        }

        // The point from which heights are counted need only lie near the answer: the median load over speed squared is good enough.
        double frontN = OrderStatistics.Median([.. rows.Select(r => r.FrontN / r.SpeedSquared)]);
        double rearN = OrderStatistics.Median([.. rows.Select(r => r.RearN / r.SpeedSquared)]);
        return new RideHeightBasis(
            new(front, rear),
            new(front.At(weight.Front + (frontN * reference * reference)).HeightMm, rear.At(weight.Rear + (rearN * reference * reference)).HeightMm),
            options);
    }

    /// <summary>What is believed of coefficients that the log may not tell (see <see cref="AeroOptions"/>).</summary>
    private static List<Prior> Priors(AeroModel model, ModelWindow[] rows, AeroOptions options, double unknownWindMps)
    {
        double front = OrderStatistics.Median([.. rows.Select(r => Math.Abs(r.FrontN) / (model.DensityKgM3 * r.SpeedSquared / 2))]);
        double rear = OrderStatistics.Median([.. rows.Select(r => Math.Abs(r.RearN) / (model.DensityKgM3 * r.SpeedSquared / 2))]);
        List<Prior> priors = [];
        (string Name, double Share)[] beliefs = model.Basis.Beliefs;
        for (int k = 0; k < beliefs.Length; k++)
        {
            if (beliefs[k].Share > 0)
            {
                priors.Add(new(beliefs[k].Name, k, beliefs[k].Share * front));
                priors.Add(new(beliefs[k].Name, model.PerAxle + k, beliefs[k].Share * rear));
            }
        }

        if (model.HasWind)
        {
            priors.Add(new(WindPrior, 2 * model.PerAxle, unknownWindMps));
            priors.Add(new(WindPrior, (2 * model.PerAxle) + 1, unknownWindMps));
        }

        return priors;
    }

    private static QuasiSteadyWindow Shown(RunWindow window, BalanceTerms terms, (double FrontN, double RearN) remainder)
    {
        (double front, double rear) = VerticalBalance.Of(window, terms);
        return new(window.TimeS, window.Lap, window.Pass, window.SpeedMps, front - remainder.FrontN, rear - remainder.RearN, window.RejectedBecause);
    }
}
