using MathNet.Numerics.LinearAlgebra;

namespace Telemetry.Comparison;

/// <summary>All passes of all runs as rows, and the columns that explain them.</summary>
/// <remarks>
/// y = straight + setup + drift * run time + wind shift of the run along the heading + error of the pass. A straight's own term takes what road and mean wind do to it in every run, so that
/// setups are compared on the same straights. A shift of the steady wind between runs shows as cosine and sine of the heading; its prior keeps what the headings cannot tell within what is likely.
/// </remarks>
internal sealed class PassTable
{
    private PassTable(IReadOnlyList<RunEvidence> runs, StraightPlaces places, int[] setup, int setups, double[] time, bool hasDrift, bool hasWind)
    {
        Runs = runs;
        Places = places;
        Setup = setup;
        Setups = setups;
        Time = time;
        HasDrift = hasDrift;
        HasWind = hasWind;
    }

    public IReadOnlyList<RunEvidence> Runs { get; }

    public StraightPlaces Places { get; }

    /// <summary>Setup of each run, from 0; the first run has 0.</summary>
    public int[] Setup { get; }

    public int Setups { get; }

    /// <summary>Time of each run in steps of the mean time between runs, the first run at 0.</summary>
    public double[] Time { get; }

    public bool HasDrift { get; }

    public bool HasWind { get; }

    private int DriftColumn => Places.Count + Setups - 1;

    public int WindColumn(int run) => DriftColumn + (HasDrift ? 1 : 0) + (2 * (run - 1));

    public static PassTable Of(IReadOnlyList<RunEvidence> runs, StraightPlaces places, int[] setup)
    {
        int setups = setup.Max() + 1;
        double[] time = TimeOf(runs);
        bool drift = Enumerable.Range(0, setups).Any(s =>
        {
            double[] times = [.. Enumerable.Range(0, runs.Count).Where(r => setup[r] == s).Select(r => time[r])];
            return times.Length > 1 && times.Max() - times.Min() > 0.1;
        });
        bool wind = places.KnowsHeadings && places.HeadingRad.All(run => run.All(double.IsFinite)) && !runs.Any(run => run.MeasuresAirSpeed);
        return new(runs, places, setup, setups, time, drift, wind);
    }

    /// <summary>Contrast of a setup against the first.</summary>
    public Vector<double> ContrastOfSetup(int columns, int setup) => Unit(columns, Places.Count + setup - 1);

    /// <summary>Contrast of the drift of one run step.</summary>
    public Vector<double> ContrastOfDrift(int columns) => Unit(columns, DriftColumn);

    /// <summary>The fit of one response.</summary>
    /// <param name="values">For each run and pass the value at the speed of the comparison; NaN leaves a pass out.</param>
    /// <param name="perWindMps">Change of the response with a head wind of 1 m/s; 0 when wind does nothing to it.</param>
    /// <param name="windShiftMps">Standard deviation of each component of a wind shift, m/s.</param>
    public PassFit? Fit(double[][] values, double perWindMps, double windShiftMps)
    {
        bool wind = HasWind && perWindMps != 0;
        int columns = DriftColumn + (HasDrift ? 1 : 0) + (wind ? 2 * (Runs.Count - 1) : 0);
        List<(int Run, int Pass)> rows = [];
        for (int r = 0; r < Runs.Count; r++)
        {
            for (int i = 0; i < Runs[r].Passes.Length; i++)
            {
                if (double.IsFinite(values[r][i]))
                {
                    rows.Add((r, i));
                }
            }
        }

        // A straight that no counting pass drove has no term of its own, nor one of its prior: it is settled at 0.
        double[] priors = [.. Enumerable.Repeat(double.PositiveInfinity, columns)];
        for (int place = 0; place < Places.Count; place++)
        {
            priors[place] = rows.Any(row => Places.Place[row.Run][row.Pass] == place) ? double.PositiveInfinity : 1e3;
        }

        Matrix<double> design = Matrix<double>.Build.Dense(rows.Count, columns);
        Vector<double> response = Vector<double>.Build.Dense(rows.Count);
        for (int k = 0; k < rows.Count; k++)
        {
            (int r, int i) = rows[k];
            response[k] = values[r][i];
            design[k, Places.Place[r][i]] = 1;
            if (Setup[r] > 0)
            {
                design[k, Places.Count + Setup[r] - 1] = 1;
            }

            if (HasDrift)
            {
                design[k, DriftColumn] = Time[r];
            }

            if (wind && r > 0)
            {
                (double sine, double cosine) = Math.SinCos(Places.HeadingRad[r][i]);
                design[k, WindColumn(r)] = perWindMps * cosine;
                design[k, WindColumn(r) + 1] = perWindMps * sine;
            }
        }

        if (wind)
        {
            for (int j = WindColumn(1); j < columns; j++)
            {
                priors[j] = windShiftMps;
            }
        }

        return rows.Count == 0 || PassRegression.Of(design, response, priors) is not { } fit ? null : new PassFit(this, fit, [.. rows], wind);
    }

    private static Vector<double> Unit(int columns, int at)
    {
        Vector<double> contrast = Vector<double>.Build.Dense(columns);
        contrast[at] = 1;
        return contrast;
    }

    /// <summary>By the clock where all runs have dates that rise, else by order.</summary>
    private static double[] TimeOf(IReadOnlyList<RunEvidence> runs)
    {
        double[] order = [.. Enumerable.Range(0, runs.Count).Select(r => (double)r)];
        if (runs.Count < 2 || runs.Any(run => run.MiddleUtc is null))
        {
            return order;
        }

        double[] hours = [.. runs.Select(run => (run.MiddleUtc!.Value - runs[0].MiddleUtc!.Value).TotalHours)];
        double step = (hours[^1] - hours[0]) / (runs.Count - 1);
        bool rises = Enumerable.Range(1, runs.Count - 1).All(r => hours[r] > hours[r - 1]);
        return rises && step > 0 ? [.. hours.Select(hour => hour / step)] : order;
    }
}

/// <summary>The fit of one response over all passes.</summary>
internal sealed record PassFit(PassTable Table, PassRegression Regression, (int Run, int Pass)[] Rows, bool HasWind)
{
    public int Columns => Regression.Theta.Count;

    /// <summary>Sum of a contrast's weights over the passes of each run: how an error that a whole run shares comes through.</summary>
    public double[] WeightOfRuns(Vector<double> contrast)
    {
        Vector<double> weights = Regression.Weights(contrast);
        double[] sums = new double[Table.Runs.Count];
        for (int k = 0; k < Rows.Length; k++)
        {
            sums[Rows[k].Run] += weights[k];
        }

        return sums;
    }

    /// <summary>What the headings do not tell of wind shifts, as a standard uncertainty of the contrast.</summary>
    public double WindUncertainty(Vector<double> contrast)
    {
        double squares = 0;
        for (int j = HasWind ? Table.WindColumn(1) : Columns; j < Columns; j++)
        {
            double effect = Regression.EffectOfPrior(contrast, j);
            squares += effect * effect;
        }

        return Math.Sqrt(squares);
    }
}
