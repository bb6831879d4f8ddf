using MathNet.Numerics.LinearAlgebra;
using MathNet.Numerics.LinearAlgebra.Double;
using Telemetry.Car;
using Telemetry.WheelLoads;

namespace Telemetry.Aero;

/// <summary>Mean balance of a condition's windows, regressed on its covariates, with brakings or corner visits as independent units.</summary>
internal sealed class ConditionFit
{
    private readonly WheelLoadSet wheels;
    private readonly AeroResult aero;
    private readonly Standstills still;
    private readonly BalanceOptions options;
    private readonly AeroOptions aeroOptions;
    private readonly AbsoluteHeights? heights;

    public ConditionFit(WheelLoadSet wheels, AeroResult aero, Standstills still, BalanceOptions options, AeroOptions aeroOptions)
    {
        this.wheels = wheels;
        this.aero = aero;
        this.still = still;
        this.options = options;
        this.aeroOptions = aeroOptions;
        heights = aero.Blocks is { } blocks ? AbsoluteHeights.Of(wheels, blocks) : null;
    }

    /// <summary>The answer of a condition.</summary>
    public ConditionBalance Of(BalanceCondition condition, string name, IReadOnlyList<ConditionWindow> windows)
    {
        int[] units = [.. windows.Select(w => w.Unit).Distinct()];
        ConditionBalance empty = new()
        {
            Condition = condition,
            Name = name,
            BalanceFrontPct = null,
            WithheldBecause = FormattableString.Invariant(
                $"The run has {units.Length} {(condition == BalanceCondition.BrakingEntry ? "brakings" : "corner visits")} that are quasi-steady above {options.LowestSpeedMps * 3.6:0} km/h; below {options.FewestUnits} there is no honest interval."),
            Units = units.Length,
            Windows = windows.Count,
            SpeedMps = Mean(windows, w => w.Means.SpeedMps),
            LongitudinalMps2 = Mean(windows, w => w.Means.AccelerationX - still.AccelerationX),
            LateralMps2 = Mean(windows, w => Math.Abs(w.LateralMps2)),
            SteerRad = Mean(windows, w => Math.Abs(w.SteerRad)),
            Heights = heights is null
                ? new(double.NaN, double.NaN)
                : new(Mean(windows, w => (w.Means.FrontHeightMm / 1000) + heights.ShiftM.Front), Mean(windows, w => (w.Means.RearHeightMm / 1000) + heights.ShiftM.Rear)),
        };
        if (units.Length < options.FewestUnits)
        {
            return empty;
        }

        BalanceTerms terms = BalanceTerms.Of(wheels.Run.Car, still.FuelKg, still.LoadN);
        if (condition == BalanceCondition.BrakingEntry)
        {
            terms = terms with { LinkageShare = new(wheels.Run.Car.Suspension.Front.LinkageShareBraking, wheels.Run.Car.Suspension.Rear.LinkageShareBraking) };
        }

        (double FrontN, double TotalN)[] loads = Loads(windows, terms);
        if (loads.Any(load => !(load.TotalN > 0)))
        {
            return empty with { WithheldBecause = "The vertical balance leaves no downward aero load in some of the windows: look at masses, centre of gravity and accelerometers." };
        }

        return Fitted(empty, condition, windows, units, loads, terms);
    }

    private ConditionBalance Fitted(
        ConditionBalance empty, BalanceCondition condition, IReadOnlyList<ConditionWindow> windows, int[] units, (double FrontN, double TotalN)[] loads, BalanceTerms terms)
    {
        bool isCorner = condition == BalanceCondition.FastCorner;
        List<Func<ConditionWindow, double>> covariates = [w => w.Means.SpeedMps - empty.SpeedMps];
        if (isCorner)
        {
            covariates.Add(w => Math.Abs(w.LateralMps2) - empty.LateralMps2);
            if (double.IsFinite(empty.SteerRad))
            {
                covariates.Add(w => Math.Abs(w.SteerRad) - empty.SteerRad);
            }
        }

        // A covariate asks for two more units than coefficients; the fewest are dropped from the end.
        while (covariates.Count > 0 && units.Length < covariates.Count + 3)
        {
            covariates.RemoveAt(covariates.Count - 1);
        }

        Dictionary<int, int> index = units.Select((unit, i) => (unit, i)).ToDictionary(pair => pair.unit, pair => pair.i);
        int columns = 1 + covariates.Count;
        double[][] rows = [.. windows.Select(w => covariates.Select(c => c(w)).Prepend(1.0).ToArray())];
        double meanTotal = loads.Average(load => load.TotalN);

        // A share's error falls with the load that it is a share of.
        double[] weights = [.. loads.Select(load => load.TotalN / meanTotal)];
        double[] balance = [.. loads.Select(load => 100 * load.FrontN / load.TotalN)];
        double[] design = new double[rows.Length * columns];
        double[] response = new double[rows.Length];
        for (int i = 0; i < rows.Length; i++)
        {
            for (int j = 0; j < columns; j++)
            {
                design[(i * columns) + j] = weights[i] * rows[i][j];
            }

            response[i] = weights[i] * balance[i];
        }

        RobustFit? robust = RobustRegression.Fit(design, response, columns, RobustLoss.Huber, 1e-7);
        if (robust is null)
        {
            return empty with { WithheldBecause = "Speed, roll and steer of the windows are too much alike to be told apart." };
        }

        ClusterSums sums = new(columns, units.Length);
        for (int i = 0; i < rows.Length; i++)
        {
            sums.Add(index[windows[i].Unit], design.AsSpan(i * columns, columns), robust.Weights[i], robust.Weights[i] * robust.Residuals[i]);
        }

        if (ClusterCovariance.From(sums, ClusterCorrection.Cr2) is not { } covariance)
        {
            return empty with { WithheldBecause = "Speed, roll and steer of the windows are too much alike to be told apart." };
        }

        List<BalancePart> parts = Parts(windows, loads, terms, weights);
        Vector<double> first = Unit(columns, 0);
        double scatter = covariance.Variance(first);
        double systematic = parts.Sum(part => part.Pct * part.Pct);
        double combined = scatter + systematic;
        double degrees = covariance.DegreesOfFreedom(first) * (combined / scatter) * (combined / scatter);
        double half = StudentQuantile.Coverage95(Math.Max(1, double.IsFinite(degrees) ? degrees : 1e9)) * Math.Sqrt(combined);
        double value = robust.Coefficients[0];
        parts.Add(new(condition == BalanceCondition.BrakingEntry ? "braking to braking" : "corner to corner", Math.Sqrt(scatter)));
        ConditionBalance answer = empty with
        {
            Budget = [.. parts.Where(part => part.Pct > 0).OrderByDescending(part => part.Pct).ThenBy(part => part.Name, StringComparer.Ordinal)],
            StraightAtSameSpeedPct = StraightAt(empty.SpeedMps),
        };
        if (!(half <= options.WidestPct))
        {
            return answer with { WithheldBecause = FormattableString.Invariant($"The balance is known no better than ± {half:0.0} % (95 %); the largest part of that is {answer.Budget[0].Name}.") };
        }

        return answer with
        {
            BalanceFrontPct = new(value, value - half, value + half),
            WithheldBecause = null,
            PerSpeed = Slope(1),
            PerLateral = isCorner ? Slope(2) : null,
            PerSteer = isCorner ? Slope(3) : null,
        };

        Estimate? Slope(int column)
        {
            if (column >= columns)
            {
                return null;
            }

            Vector<double> contrast = Unit(columns, column);
            double wide = StudentQuantile.Coverage95(Math.Max(1, covariance.DegreesOfFreedom(contrast))) * Math.Sqrt(covariance.Variance(contrast));
            return double.IsFinite(wide) ? new(robust.Coefficients[column], robust.Coefficients[column] - wide, robust.Coefficients[column] + wide) : null;
        }
    }

    /// <summary>Each input moved by its standard uncertainty (GUM, JCGM 100:2008, 5.1.3): weighted mean change of the balance, %.</summary>
    private List<BalancePart> Parts(IReadOnlyList<ConditionWindow> windows, (double FrontN, double TotalN)[] loads, BalanceTerms terms, double[] weights)
    {
        CarDefinition car = wheels.Run.Car;
        List<BalancePart> parts = [];
        foreach (Corner corner in Corners.All)
        {
            int c = (int)corner;
            double zero = wheels.Pushrods.Zeros[corner].StandardUncertaintyN * Math.Abs(car.Suspension[corner.Axle()].InstallationRatio.At(0));
            Add($"zero {corner.Code()}", t => t with { LoadOffsetN = Only(c, zero, 0) });
            Add($"gain {corner.Code()}", t => t with { LoadFactor = Only(c, 1 + wheels.Pushrods.GainUncertainty(corner), 1) });
        }

        double front = 1 + car.Suspension.Front.InstallationRatio.RelativeUncertainty;
        double rear = 1 + car.Suspension.Rear.InstallationRatio.RelativeUncertainty;
        Add("ratio front", t => t with { LoadFactor = [front, front, 1, 1] });
        Add("ratio rear", t => t with { LoadFactor = [1, 1, rear, rear] });
        Add("mass", t => t with { WithoutFuelKg = t.WithoutFuelKg + car.Masses.WithoutFuelKg.StandardUncertainty });
        Add("place of the centre of gravity", t => t with { BehindFrontAxleM = t.BehindFrontAxleM + car.Geometry.SprungCentreBehindFrontAxleM.StandardUncertainty });
        Add("height of the centre of gravity", t => t with { CentreHeightM = t.CentreHeightM + car.Geometry.CentreHeightM.StandardUncertainty });
        double offset = still.Count > 0 ? aeroOptions.AccelerometerDriftMps2 : double.Hypot(aeroOptions.AccelerometerDriftMps2, aeroOptions.AccelerometerOffsetMps2);
        Add("longitudinal accelerometer", t => t with { OffsetX = t.OffsetX + offset });
        Add("vertical accelerometer", t => t with { OffsetZ = t.OffsetZ + offset });
        Add("gain of the longitudinal accelerometer", t => t with { GainX = 1 + (car.Mapping(ChannelRole.AccelerationX)?.GainUncertainty ?? 0) });
        double eta = options.LinkageShareUncertainty;
        Add("share of the links, front", t => t with { LinkageShare = t.LinkageShare with { Front = t.LinkageShare.Front + eta } });
        Add("share of the links, rear", t => t with { LinkageShare = t.LinkageShare with { Rear = t.LinkageShare.Rear + eta } });
        return parts;

        void Add(string name, Func<BalanceTerms, BalanceTerms> move)
        {
            (double FrontN, double TotalN)[] moved = Loads(windows, move(terms));
            double top = 0;
            double bottom = 0;
            for (int i = 0; i < loads.Length; i++)
            {
                double square = weights[i] * weights[i];
                top += square * 100 * ((moved[i].FrontN / moved[i].TotalN) - (loads[i].FrontN / loads[i].TotalN));
                bottom += square;
            }

            parts.Add(new(name, Math.Abs(top / bottom)));
        }
    }

    private (double FrontN, double TotalN)[] Loads(IReadOnlyList<ConditionWindow> windows, BalanceTerms terms)
    {
        // The offset of the longitudinal accelerometer goes in with the same share of the links, so it cancels.
        (double frontStill, double rearStill) = still.Remainder(terms);
        var loads = new (double FrontN, double TotalN)[windows.Count];
        for (int i = 0; i < loads.Length; i++)
        {
            (double f, double r) = VerticalBalance.Of(windows[i].Means, terms);
            loads[i] = (f - frontStill, f - frontStill + r - rearStill);
        }

        return loads;
    }

    /// <summary>Straight line between the neighbours on the curve of the straights; null beyond its ends.</summary>
    private Estimate? StraightAt(double speedMps)
    {
        for (int i = 1; i < aero.Curve.Length; i++)
        {
            AeroAtSpeed low = aero.Curve[i - 1];
            AeroAtSpeed high = aero.Curve[i];
            if (speedMps >= low.SpeedMps && speedMps <= high.SpeedMps)
            {
                double share = (speedMps - low.SpeedMps) / (high.SpeedMps - low.SpeedMps);
                return new(
                    Between(low.BalanceFrontPct.Value, high.BalanceFrontPct.Value),
                    Between(low.BalanceFrontPct.Low95, high.BalanceFrontPct.Low95),
                    Between(low.BalanceFrontPct.High95, high.BalanceFrontPct.High95));

                double Between(double a, double b) => a + (share * (b - a));
            }
        }

        return null;
    }

    private static double[] Only(int corner, double value, double others) => [.. Enumerable.Range(0, 4).Select(c => c == corner ? value : others)];

    private static DenseVector Unit(int count, int at) => DenseVector.Create(count, k => k == at ? 1 : 0);

    private static double Mean(IReadOnlyList<ConditionWindow> windows, Func<ConditionWindow, double> of) => windows.Count == 0 ? double.NaN : windows.Average(of);
}
