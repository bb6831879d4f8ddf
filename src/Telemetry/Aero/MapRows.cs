using Telemetry.Car;

namespace Telemetry.Aero;

/// <summary>One window on its way to the map.</summary>
/// <param name="Run">Index of the run.</param>
/// <param name="PassInRun">Number of the pass in its run, from 1.</param>
/// <param name="Pass">Index of the pass over all runs, from 0.</param>
/// <param name="SpeedMps">Road speed, m/s.</param>
/// <param name="FrontN">Front aero load by equation E4, N.</param>
/// <param name="RearN">Rear aero load, N.</param>
/// <param name="PressurePa">Dynamic pressure with the run's steady wind, Pa.</param>
/// <param name="PerWind">Relative change of the dynamic pressure with head wind, s/m.</param>
/// <param name="FrontWeightN">What the front wheels carry beside the aero load, N.</param>
/// <param name="RearWeightN">The same at the rear, N.</param>
/// <param name="SqueezeM">How much lower than at steady speed under the same load the axles stand, m (<see cref="LinkSqueeze"/>).</param>
internal readonly record struct MapRow(
    int Run, int PassInRun, int Pass, double SpeedMps, double FrontN, double RearN, double PressurePa, double PerWind, double FrontWeightN, double RearWeightN, HeightPair SqueezeM);

/// <summary>The windows of all runs, the springs of each run, and the errors that windows share.</summary>
internal sealed class MapRows
{
    private readonly List<MapRow> rows = [];
    private readonly List<PerAxle<HeightLine>> springs = [];
    private readonly List<HeightTarget> targets = [];
    private readonly Dictionary<string, List<(int Row, double FrontN, double RearN)>> shared = [];
    private int passes;

    /// <summary>The windows, run by run.</summary>
    public IReadOnlyList<MapRow> Rows => rows;

    /// <summary>Height against load of each run.</summary>
    public IReadOnlyList<PerAxle<HeightLine>> Springs => springs;

    /// <summary>Steady driving at each run's reference speed.</summary>
    public IReadOnlyList<HeightTarget> Targets => targets;

    /// <summary>Passes of all runs.</summary>
    public int Passes => passes;

    /// <summary>Where the heights came from.</summary>
    public string HeightSource { get; private set; } = "";

    /// <summary>False when heights count from standstill.</summary>
    public bool AreAbsolute { get; private set; } = true;

    /// <summary>Errors that windows share, by what they are: change of front and rear load of each window for one standard uncertainty, N.</summary>
    public IEnumerable<(double[] FrontN, double[] RearN)> Shared => shared.OrderBy(pair => pair.Key, StringComparer.Ordinal).Select(pair =>
    {
        double[] front = new double[rows.Count];
        double[] rear = new double[rows.Count];
        foreach ((int row, double f, double r) in pair.Value)
        {
            front[row] += f;
            rear[row] += r;
        }

        return (front, rear);
    });

    /// <summary>Adds a run.</summary>
    /// <returns>Why it cannot be used, as one sentence, or null.</returns>
    public string? Add(RunOnMap run, AeroOptions aeroOptions)
    {
        AeroResult aero = run.Aero;
        if (aero.WithheldBecause is { } why)
        {
            return why;
        }

        if (aero.Blocks is null || AbsoluteHeights.Of(run.Wheels, aero.Blocks) is not { } heights)
        {
            return "The log has neither ride heights nor the travel of all four dampers with a standstill on the ground to count from.";
        }

        int index = springs.Count;
        List<RunWindow> used = [.. aero.Cut.Where(w => w.Pass > 0)];
        Standstills still = Standstills.Of(run.Wheels);
        BalanceTerms terms = BalanceTerms.Of(run.Wheels.Run.Car, still.FuelKg, still.LoadN);
        PerAxle<double>[] squeezeMm = [.. used.Select(w => LinkSqueeze.OfMm(w, terms, run.Wheels.Run.Car.Suspension, w.AccelerationX - still.AccelerationX))];
        double seen = LinkSqueeze.SeenIn(aero.Blocks.HeightSource);
        HeightLine? front = HeightLine.Of([.. used.Select(w => w.AxleLoadN(Axle.Front))], [.. used.Select((w, i) => ((w.FrontHeightMm + (seen * squeezeMm[i].Front)) / 1000) + heights.ShiftM.Front)]);
        HeightLine? rear = HeightLine.Of([.. used.Select(w => w.AxleLoadN(Axle.Rear))], [.. used.Select((w, i) => ((w.RearHeightMm + (seen * squeezeMm[i].Rear)) / 1000) + heights.ShiftM.Rear)]);
        if (front is null || rear is null)
        {
            return "The windows are too few or their loads too much alike to tie ride height to load.";
        }

        springs.Add(new(front, rear));
        HeightSource = heights.Source;
        AreAbsolute &= heights.AreAbsolute;
        (double FrontN, double RearN) remainder = still.Remainder(terms);
        int first = rows.Count;
        foreach (RunWindow window in used)
        {
            ModelWindow model = AeroEstimate.ForModel(window, VerticalBalance.Of(window, terms), remainder, double.NaN, -still.AccelerationX);
            double wind = HeadWind(aero, window.Pass);
            double squared = model.SpeedSquared + (2 * wind * model.SpeedMps) + (wind * wind);
            rows.Add(new(index, window.Pass, passes + window.Pass - 1, window.SpeedMps, model.FrontN, model.RearN,
                aero.Air.DensityKgM3 / 2 * squared, 2 * (model.SpeedMps + wind) / squared, model.FrontWeightN, model.RearWeightN, new(squeezeMm[rows.Count - first].Front / 1000, squeezeMm[rows.Count - first].Rear / 1000)));
        }

        passes += aero.Passes.Length;
        targets.Add(Target(aero, used, terms, remainder));
        AddShared(run, index, first, used, terms, still, aeroOptions);
        return null;
    }

    private static double HeadWind(AeroResult aero, int pass)
    {
        double heading = aero.Passes[pass - 1].HeadingRad;
        return aero.Wind is { SpeedMps: { } speed, FromRad: { } from } && double.IsFinite(heading) ? speed.Value * Math.Cos(heading - from.Value) : 0;
    }

    /// <summary>What the springs carry at steady speed beside the aero load, with the mean fuel of the windows.</summary>
    private static HeightTarget Target(AeroResult aero, List<RunWindow> used, BalanceTerms terms, (double FrontN, double RearN) remainder)
    {
        double sprungN = (terms.WithoutFuelKg + used.Average(w => w.FuelKg) - terms.UnsprungKg) * StandardGravity.Mps2;
        double behind = terms.BehindFrontAxleM / terms.WheelbaseM;
        return new(
            aero.Air.DensityKgM3 * aero.ReferenceSpeedMps * aero.ReferenceSpeedMps / 2,
            (sprungN * (1 - behind)) + remainder.FrontN,
            (sprungN * behind) + remainder.RearN);
    }

    private void AddShared(RunOnMap run, int index, int first, List<RunWindow> used, BalanceTerms terms, Standstills still, AeroOptions options)
    {
        CarDefinition car = run.Wheels.Run.Car;
        string own = FormattableString.Invariant($" of run {index + 1}");
        foreach (Corner corner in Corners.All)
        {
            // The whole zero: what cancels against the standstill is left in, since runs at other heights stand on other points of the ratio.
            double zero = run.Wheels.Pushrods.Zeros[corner].StandardUncertaintyN * Math.Abs(car.Suspension[corner.Axle()].InstallationRatio.At(0));
            bool isFront = corner.Axle() == Axle.Front;
            AddConstant($"zero {corner.Code()}{own}", first, isFront ? zero : 0, isFront ? 0 : zero);
            double[] factors = [1, 1, 1, 1];
            factors[(int)corner] = 1 + run.Wheels.Pushrods.GainUncertainty(corner);
            Move($"gain {corner.Code()}", terms with { LoadFactor = factors });
        }

        double frontRatio = 1 + car.Suspension.Front.InstallationRatio.RelativeUncertainty;
        double rearRatio = 1 + car.Suspension.Rear.InstallationRatio.RelativeUncertainty;
        Move("ratio front", terms with { LoadFactor = [frontRatio, frontRatio, 1, 1] });
        Move("ratio rear", terms with { LoadFactor = [1, 1, rearRatio, rearRatio] });
        Move("mass", terms with { WithoutFuelKg = terms.WithoutFuelKg + car.Masses.WithoutFuelKg.StandardUncertainty });
        Move("place of the centre of gravity", terms with { BehindFrontAxleM = terms.BehindFrontAxleM + car.Geometry.SprungCentreBehindFrontAxleM.StandardUncertainty });
        Move("height of the centre of gravity", terms with { CentreHeightM = terms.CentreHeightM + car.Geometry.CentreHeightM.StandardUncertainty });
        Move("fuel burned" + own, terms with { BurnFactor = 1 + options.FuelBurnShare });
        double offset = still.Count > 0 ? options.AccelerometerDriftMps2 : double.Hypot(options.AccelerometerDriftMps2, options.AccelerometerOffsetMps2);
        Move("longitudinal accelerometer" + own, terms with { OffsetX = terms.OffsetX + offset });
        Move("vertical accelerometer" + own, terms with { OffsetZ = terms.OffsetZ + offset });
        double density = run.Aero.Air.StandardUncertaintyKgM3 / run.Aero.Air.DensityKgM3;
        double along = run.Aero.Wind.SpeedMps is { } speed ? speed.HalfWidth / StandardNormal.Quantile975 : options.AssumedWindMps;
        double across = run.Aero.Wind is { SpeedMps: { } known, FromRad: { } direction } ? known.Value * direction.HalfWidth / StandardNormal.Quantile975 : options.AssumedWindMps;
        double from = run.Aero.Wind.FromRad?.Value ?? 0;
        bool measuresAir = run.Wheels.Run.Has(ChannelRole.AirSpeed);
        for (int i = first; i < rows.Count; i++)
        {
            MapRow row = rows[i];
            AddOne("air density" + own, i, density * row.FrontN, density * row.RearN);
            if (measuresAir)
            {
                continue;
            }

            double heading = run.Aero.Passes[row.PassInRun - 1].HeadingRad;
            double cosine = double.IsFinite(heading) ? Math.Cos(heading - from) : 1;
            double sine = double.IsFinite(heading) ? Math.Sin(heading - from) : 0;
            AddOne("wind along" + own, i, along * cosine * row.PerWind * row.FrontN, along * cosine * row.PerWind * row.RearN);
            AddOne("wind across" + own, i, across * sine * row.PerWind * row.FrontN, across * sine * row.PerWind * row.RearN);
        }

        void Move(string name, BalanceTerms moved)
        {
            (double frontStill, double rearStill) = still.Remainder(terms);
            (double frontMoved, double rearMoved) = still.Remainder(moved);
            for (int i = 0; i < used.Count; i++)
            {
                (double f, double r) = VerticalBalance.Of(used[i], terms);
                (double mf, double mr) = VerticalBalance.Of(used[i], moved);
                AddOne(name, first + i, mf - frontMoved - f + frontStill, mr - rearMoved - r + rearStill);
            }
        }
    }

    private void AddConstant(string name, int first, double frontN, double rearN)
    {
        for (int i = first; i < rows.Count; i++)
        {
            AddOne(name, i, frontN, rearN);
        }
    }

    private void AddOne(string name, int row, double frontN, double rearN)
    {
        if (!shared.TryGetValue(name, out List<(int Row, double FrontN, double RearN)>? list))
        {
            shared[name] = list = [];
        }

        list.Add((row, frontN, rearN));
    }
}

/// <summary>A steady condition whose ride heights are asked for.</summary>
/// <param name="PressurePa">Dynamic pressure, Pa.</param>
/// <param name="FrontWeightN">What the front springs carry beside the aero load, N.</param>
/// <param name="RearWeightN">The same at the rear, N.</param>
internal readonly record struct HeightTarget(double PressurePa, double FrontWeightN, double RearWeightN);
