using System.Collections.Immutable;
using MathNet.Numerics.Distributions;
using MathNet.Numerics.LinearAlgebra;

namespace Telemetry.Comparison;

/// <summary>Tests each quantity of one setup against the baseline.</summary>
internal sealed class QuantityTests
{
    /// <summary>A pass this many standard deviations from the fit is told to a person: by chance less than once in 10 000 passes.</summary>
    private const double FarPass = 4;

    private readonly PassTable table;
    private readonly ComparisonOptions options;
    private readonly double speedMps;
    private readonly ResponseTable front;
    private readonly ResponseTable rear;
    private readonly PassFit? total;
    private readonly double totalPerWind;

    public QuantityTests(PassTable table, ComparisonOptions options, double speedMps)
    {
        this.table = table;
        this.options = options;
        this.speedMps = speedMps;
        front = ResponseTable.Of(table.Runs, pass => pass.FrontLiftArea, speedMps);
        rear = ResponseTable.Of(table.Runs, pass => pass.RearLiftArea, speedMps);
        totalPerWind = 2 * Level(h => h.TotalLiftAreaM2) / speedMps;
        total = table.Fit(Total.Values, totalPerWind, options.WindShiftMps);
    }

    /// <summary>True when the passes settle the differences.</summary>
    public bool AreSettled => total is not null;

    private ResponseTable Total => Sum(front, rear);

    private double PressurePa => ComparisonResult.DensityKgM3 * speedMps * speedMps / 2;

    /// <summary>All quantities of a setup.</summary>
    public SetupDifference Of(int setup, string baseline, string label)
    {
        List<QuantityDifference> found = [];
        List<WithheldQuantity> withheld = [];
        double f = Level(h => h.FrontLiftAreaM2);
        double r = Level(h => h.RearLiftAreaM2);
        QuantityDifference? frontHeight = Height(setup, ComparedKind.FrontRideHeight, pass => pass.FrontHeight, withheld);
        QuantityDifference? rearHeight = Height(setup, ComparedKind.RearRideHeight, pass => pass.RearHeight, withheld);
        Add(ComparedKind.FrontLoad, ComparedKind.FrontLiftArea, front, h => h.FrontLiftAreaM2, f, run => new(1 / Pressure(run), 0, f), s => (s.FrontPerFront, s.FrontPerRear));
        Add(ComparedKind.RearLoad, ComparedKind.RearLiftArea, rear, h => h.RearLiftAreaM2, r, run => new(0, 1 / Pressure(run), r), _ => null);
        Add(ComparedKind.TotalLoad, ComparedKind.TotalLiftArea, Total, h => h.TotalLiftAreaM2, f + r, run => new(1 / Pressure(run), 1 / Pressure(run), f + r), s => (s.TotalPerFront, s.TotalPerRear));

        ResponseTable balance = front.With(rear, (a, b) => 100 * a / (a + b));
        double sum = (f + r) * (f + r);
        TestedQuantity share = Test(ComparedKind.Balance, setup, balance, 100 * f / (f + r), 0, (fit, weights, _) =>
            SharedErrors.Of(table.Runs, weights, [.. table.Runs.Select(run => new SharedErrors.Effect(100 * r / sum / Pressure(run), -100 * f / sum / Pressure(run), 0))], true, table.HasDrift, options));
        share.BesideRunsAlone(RunsAlone.Difference(table, setup, h => h.BalanceFrontPct)).AddTo(found, withheld, ComparedKind.Balance);
        found.AddRange(new[] { frontHeight, rearHeight }.OfType<QuantityDifference>());
        Drag(setup).AddTo(found, withheld, ComparedKind.DragArea);
        return new(baseline, label, [.. found.OrderBy(q => q.Kind)], [.. withheld]);

        void Add(ComparedKind load, ComparedKind area, ResponseTable response, Func<Aero.AeroAtSpeed, Estimate> own, double level, Func<RunEvidence, SharedErrors.Effect> effect, Func<HeightSensitivity, (Measured Front, Measured Rear)?> slope)
        {
            SharedErrors.Effect[] effects = [.. table.Runs.Select(effect)];
            TestedQuantity tested = Test(area, setup, response, level, 2 * level / speedMps, (fit, weights, contrast) =>
            [
                .. SharedErrors.Of(table.Runs, weights, effects, fit.HasWind || table.Runs.All(run => run.MeasuresAirSpeed), table.HasDrift, options),
                .. SlopeLine(response, fit, contrast),
            ]).BesideRunsAlone(RunsAlone.Difference(table, setup, own));
            if (tested.Found is { } one)
            {
                one = one with { ByRideHeight = HeightPart(frontHeight, rearHeight, slope) };
                tested = new(one, null);
                found.Add(Scaled(one, load, PressurePa));
            }

            tested.AddTo(found, withheld, area);
        }
    }

    /// <summary>Shift of the steady wind of a run against the first; null when the headings do not tell it.</summary>
    public WindShift? WindShift(int run)
    {
        if (total is not { HasWind: true } fit)
        {
            return null;
        }

        int at = table.WindColumn(run);
        Vector<double>[] axes = [Unit(at), Unit(at + 1)];
        (double a, double df) = fit.Regression.Scatter(axes[0]);
        (double b, _) = fit.Regression.Scatter(axes[1]);
        (double both, _) = fit.Regression.Scatter(axes[0] + axes[1]);
        double prior = options.WindShiftMps;

        // The prior pulls towards no shift; what it hides is added to the covariance, so that a direction that no heading shows cannot be called a shift.
        double hiddenA = fit.Regression.EffectOfPrior(axes[0], at), hiddenB = fit.Regression.EffectOfPrior(axes[1], at + 1);
        double va = (a * a) + (hiddenA * hiddenA);
        double vb = (b * b) + (hiddenB * hiddenB);
        double cov = ((both * both) - (a * a) - (b * b)) / 2;
        double x = fit.Regression.Theta[at];
        double y = fit.Regression.Theta[at + 1];
        double determinant = (va * vb) - (cov * cov);
        if (!(determinant > 0) || Math.Max(va, vb) > prior * prior)
        {
            return null;
        }

        double squared = ((vb * x * x) - (2 * cov * x * y) + (va * y * y)) / determinant;
        double probability = 1 - FisherSnedecor.CDF(2, Math.Max(2, df), squared / 2);
        double largest = ((va + vb) / 2) + Math.Sqrt(((va - vb) * (va - vb) / 4) + (cov * cov));
        return new(x, y, Math.Sqrt(largest), probability);

        Vector<double> Unit(int column)
        {
            Vector<double> unit = Vector<double>.Build.Dense(fit.Columns);
            unit[column] = 1;
            return unit;
        }
    }

    /// <summary>Passes that lie so far from the others that a person should look: a tow, a kerb, traffic.</summary>
    public IEnumerable<string> FarPasses()
    {
        if (total is null)
        {
            yield break;
        }

        double scatter = 1.4826 * OrderStatistics.Median([.. total.Regression.Residuals.Select(Math.Abs)]);
        for (int k = 0; k < total.Rows.Length; k++)
        {
            double away = total.Regression.Residuals[k];
            if (scatter > 0 && Math.Abs(away) > FarPass * scatter)
            {
                (int run, int pass) = total.Rows[k];
                PassEvidence one = table.Runs[run].Passes[pass];
                yield return FormattableString.Invariant($"Pass {one.Number} of {table.Runs[run].Name} (lap {one.Lap}) lies {100 * away / Level(h => h.TotalLiftAreaM2):+0.0;-0.0} % from the others. Was there traffic ahead? It counts, and widens the interval.");
            }
        }
    }

    private QuantityDifference? Height(int setup, ComparedKind kind, Func<PassEvidence, PassMean> of, List<WithheldQuantity> withheld)
    {
        ResponseTable response = ResponseTable.Of(table.Runs, of, speedMps);
        if (table.Runs.Any(run => !run.Passes.Any(pass => of(pass).IsKnown)))
        {
            withheld.Add(new(QuantityNames.Of(kind), "Not every run has ride heights."));
            return null;
        }

        double[] level = [.. table.Runs.Where((_, r) => table.Setup[r] == 0).SelectMany((run, _) => run.Passes.Select(of).Where(mean => mean.IsKnown).Select(mean => mean.Value))];
        double perWind = 2 * response.SlopePerSquare * speedMps;
        TestedQuantity tested = Test(kind, setup, response, level.Average(), perWind, (fit, weights, contrast) =>
        [
            SharedErrors.EachRun("ride height, run to run", weights, r => table.Runs[r].MeasuresRideHeight ? options.SensorHeightM : options.DamperHeightM, "Sensors that drift less; read them at standstill in each run."),
            .. SlopeLine(response, fit, contrast),
        ]);
        if (tested.Found is null)
        {
            withheld.Add(new(QuantityNames.Of(kind), tested.Because!));
        }

        return tested.Found;
    }

    private TestedQuantity Drag(int setup)
    {
        if (table.Runs.FirstOrDefault(run => run.NoDragBecause is not null) is { } lacking)
        {
            return new(null, $"{lacking.Name}: {lacking.NoDragBecause}");
        }

        // Net of thrust and drag over dynamic pressure: at equal power a fall is more drag. Thrust over pressure goes with the inverse cube of speed, so the slope inside a pass tells it.
        ResponseTable net = ResponseTable.Of(table.Runs, pass => pass.ThrustArea, speedMps);
        double thrust = Math.Max(0, -net.SlopePerSquare * speedMps * speedMps * 2 / 3);
        ResponseTable drag = net with { Values = [.. net.Values.Select(run => run.Select(value => -value).ToArray())] };
        return Test(ComparedKind.DragArea, setup, drag, double.NaN, 2 * thrust / speedMps, (fit, weights, contrast) =>
        [
            SharedErrors.EachRun("longitudinal accelerometer", weights, r => table.Runs[r].MassKg * options.AccelerometerDriftMps2 / Pressure(table.Runs[r]), "An accelerometer that drifts less."),
            SharedErrors.EachRun("engine power", weights, _ => thrust * options.EnginePowerShare, "A logged drive torque."),
            .. SharedErrors.DensityLines(table.Runs, weights, [.. table.Runs.Select(_ => new SharedErrors.Effect(0, 0, thrust))], table.HasDrift, options),
            .. SlopeLine(net, fit, contrast),
        ], wantedLevel: thrust);
    }

    private TestedQuantity Test(ComparedKind kind, int setup, ResponseTable response, double level, double perWind, Func<PassFit, double[], Vector<double>, IEnumerable<DifferenceLine>> shared, double? wantedLevel = null)
    {
        if (table.Fit(response.Values, perWind, options.WindShiftMps) is not { } fit)
        {
            return new(null, "The passes that have it do not settle the difference.");
        }

        Vector<double> contrast = table.ContrastOfSetup(fit.Columns, setup);
        (double scatter, double degrees) = fit.Regression.Scatter(contrast);
        (ImmutableArray<DifferenceLine> budget, double systematic) = Lines(fit, contrast, scatter, shared);
        (double uncertainty, double combined) = DetectionPower.Combined(scatter, degrees, systematic);
        double value = fit.Regression.Theta.DotProduct(contrast);
        if (!(uncertainty > 0) || !double.IsFinite(value + uncertainty))
        {
            return new(null, "Its scatter is nil or not a number, so nothing can be said of chance.");
        }

        bool inPoints = kind == ComparedKind.Balance;
        double scale = inPoints ? 1 : wantedLevel ?? level;
        double share = inPoints ? 100 : scale;
        double t = value / uncertainty;
        double p = 2 * NoncentralStudent.Below(-Math.Abs(t), combined);
        double smallest = options.SmallestShare * (inPoints ? 100 : Math.Abs(scale));
        double level2 = options.Level / (table.Setups - 1);
        string largest = budget.Where(line => !double.IsNaN(line.Correlation)).MaxBy(line => line.StandardUncertainty)?.Name ?? "";
        return new(
            new QuantityDifference
            {
                Kind = kind,
                Baseline = level,
                Difference = Interval(value, uncertainty, combined),
                Percent = inPoints ? Interval(value, uncertainty, combined) : double.IsFinite(level) && level != 0 ? Interval(100 * value / level, 100 * uncertainty / Math.Abs(level), combined) : null,
                StandardUncertainty = uncertainty,
                DegreesOfFreedom = combined,
                ProbabilityOfSign = NoncentralStudent.Below(Math.Abs(t), combined),
                ProbabilityThatItMatters = NoncentralStudent.Below((Math.Abs(value) - smallest) / uncertainty, combined),
                PValue = p,
                AdjustedPValue = p,
                IsReal = p < options.Level,
                DriftPerRun = Drift(fit, shared),
                Power = DetectionPower.From(scatter, degrees, systematic, options.WantedShare * Math.Abs(share), fit.Rows.Length, PassesPerLap(fit), table.Runs.Count, largest, level2),
                Budget = budget,
            },
            null);
    }

    private static (ImmutableArray<DifferenceLine> Lines, double Systematic) Lines(PassFit fit, Vector<double> contrast, double scatter, Func<PassFit, double[], Vector<double>, IEnumerable<DifferenceLine>> shared)
    {
        DifferenceLine[] lines =
        [
            .. shared(fit, fit.WeightOfRuns(contrast), contrast),
            new("wind shift that the passes do not tell", fit.WindUncertainty(contrast), 0, "Straights of more headings, or an air-speed channel."),
        ];
        double systematic = Math.Sqrt(lines.Sum(line => line.StandardUncertainty * line.StandardUncertainty));
        return ([.. lines.Append(new("pass to pass", scatter, double.NaN, "More laps.")).Where(line => line.StandardUncertainty > 0).OrderByDescending(line => line.StandardUncertainty).ThenBy(line => line.Name, StringComparer.Ordinal)], systematic);
    }

    private Estimate? Drift(PassFit fit, Func<PassFit, double[], Vector<double>, IEnumerable<DifferenceLine>> shared)
    {
        if (!table.HasDrift)
        {
            return null;
        }

        Vector<double> contrast = table.ContrastOfDrift(fit.Columns);
        (double scatter, double degrees) = fit.Regression.Scatter(contrast);
        (double uncertainty, double combined) = DetectionPower.Combined(scatter, degrees, Lines(fit, contrast, scatter, shared).Systematic);
        return uncertainty > 0 ? Interval(fit.Regression.Theta.DotProduct(contrast), uncertainty, combined) : null;
    }

    private static IEnumerable<DifferenceLine> SlopeLine(ResponseTable response, PassFit fit, Vector<double> contrast) =>
        [new("speeds that differ between the runs", response.SlopePart(fit, contrast), 0, "Laps at the same speeds.")];

    private static Estimate? HeightPart(QuantityDifference? front, QuantityDifference? rear, Func<HeightSensitivity, (Measured Front, Measured Rear)?> slope, HeightSensitivity? sensitivity)
    {
        if (front is null || rear is null || sensitivity is null || slope(sensitivity) is not (Measured perFront, Measured perRear))
        {
            return null;
        }

        double value = (perFront.Value * front.Difference.Value) + (perRear.Value * rear.Difference.Value);
        double squares = Square(perFront.Value * front.StandardUncertainty) + Square(perFront.StandardUncertainty * front.Difference.Value)
            + Square(perRear.Value * rear.StandardUncertainty) + Square(perRear.StandardUncertainty * rear.Difference.Value);
        return Interval(value, Math.Sqrt(squares), Math.Min(front.DegreesOfFreedom, rear.DegreesOfFreedom));

        static double Square(double x) => x * x;
    }

    private Estimate? HeightPart(QuantityDifference? front, QuantityDifference? rear, Func<HeightSensitivity, (Measured Front, Measured Rear)?> slope) =>
        HeightPart(front, rear, slope, table.Runs.Select(run => run.Sensitivity).FirstOrDefault(s => s is not null));

    private static ResponseTable Sum(ResponseTable front, ResponseTable rear) => front.With(rear, (a, b) => a + b) with
    {
        SlopePerSquare = front.SlopePerSquare + rear.SlopePerSquare,
        SlopeUncertainty = double.Hypot(front.SlopeUncertainty, rear.SlopeUncertainty),
    };

    private static QuantityDifference Scaled(QuantityDifference area, ComparedKind kind, double factor)
    {
        return area with
        {
            Kind = kind,
            Baseline = area.Baseline * factor,
            Difference = Times(area.Difference)!,
            StandardUncertainty = area.StandardUncertainty * factor,
            DriftPerRun = Times(area.DriftPerRun),
            ByRideHeight = Times(area.ByRideHeight),
            ByRunsAlone = Times(area.ByRunsAlone),
            Power = area.Power with { Smallest80 = area.Power.Smallest80 * factor, Smallest90 = area.Power.Smallest90 * factor, Wanted = area.Power.Wanted * factor },
            Budget = [.. area.Budget.Select(line => line with { StandardUncertainty = line.StandardUncertainty * factor })],
        };

        Estimate? Times(Estimate? estimate) => estimate is null ? null : new(estimate.Value * factor, estimate.Low95 * factor, estimate.High95 * factor);
    }

    private static Estimate Interval(double value, double uncertainty, double degrees)
    {
        double half = NoncentralStudent.Quantile(0.975, degrees) * uncertainty;
        return new(value, value - half, value + half);
    }

    private double PassesPerLap(PassFit fit) => (double)fit.Rows.Length / Math.Max(1, table.Runs.Sum(run => run.Laps));

    private double Pressure(RunEvidence run) => run.Air.DensityKgM3 * speedMps * speedMps / 2;

    /// <summary>A quantity with the baseline setup: mean of the runs' own estimates.</summary>
    private double Level(Func<Aero.AeroAtSpeed, Estimate> of) =>
        table.Runs.Where((run, r) => table.Setup[r] == 0 && run.Headline is not null).Average(run => of(run.Headline!).Value);

    private readonly record struct TestedQuantity(QuantityDifference? Found, string? Because)
    {
        public TestedQuantity BesideRunsAlone(Estimate? own) => Found is { } one ? new(one with { ByRunsAlone = own }, null) : this;

        public void AddTo(List<QuantityDifference> found, List<WithheldQuantity> withheld, ComparedKind kind)
        {
            if (Found is { } one)
            {
                found.Add(one);
            }
            else
            {
                withheld.Add(new(QuantityNames.Of(kind), Because!));
            }
        }
    }
}
