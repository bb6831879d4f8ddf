namespace Telemetry.Zero;

/// <summary>Linearity, hysteresis, repeatability and zero return of a calibration, as shares of the output at full scale.</summary>
/// <param name="Linearity">Largest departure of the loading readings from their own least-squares line.</param>
/// <param name="Hysteresis">Largest difference between unloading and loading at one load; null without an unloading branch.</param>
/// <param name="Repeatability">Largest difference between loading series at one load; null with one series.</param>
/// <param name="ZeroReturn">Last less first reading at the smallest load; null when the record does not come back there.</param>
internal readonly record struct DataSheetTerms(double Linearity, double? Hysteresis, double? Repeatability, double? ZeroReturn)
{
    /// <summary>Loads nearer than this share of full scale are one load: ballast is put back on the same marks.</summary>
    private const double SameLoad = 0.01;

    /// <param name="load">True loads in the order in which they were applied, N.</param>
    /// <param name="reading">Readings, N, cross-talk taken out.</param>
    /// <param name="gain">Reading per load.</param>
    /// <param name="fullScaleN">Largest load, N.</param>
    public static DataSheetTerms Of(double[] load, double[] reading, double gain, double fullScaleN)
    {
        (int[] series, bool[] isLoading) = Branches(load, SameLoad * fullScaleN);
        double output = Math.Abs(gain) * fullScaleN;
        int[] up = [.. Enumerable.Range(0, load.Length).Where(i => isLoading[i])];
        double[] loadUp = [.. up.Select(i => load[i])];
        LinearFit? line = LinearFit.Of([[.. up.Select(_ => 1.0)], loadUp], up.Select(i => reading[i]).ToArray());
        double linearity = line is null || up.Length < 3 ? 0 : line.Residuals.Max(Math.Abs) / output;
        double? hysteresis = null;
        double? repeatability = null;
        for (int i = 0; i < load.Length; i++)
        {
            for (int j = 0; j < i; j++)
            {
                if (Math.Abs(load[i] - load[j]) > SameLoad * fullScaleN || !isLoading[j])
                {
                    continue;
                }

                // The loads need not be quite the same: what the gain makes of the rest is taken off.
                double difference = (reading[i] - reading[j] - (gain * (load[i] - load[j]))) / output;
                if (!isLoading[i] && series[i] == series[j])
                {
                    hysteresis = Larger(hysteresis, difference);
                }
                else if (isLoading[i] && series[i] != series[j])
                {
                    repeatability = Larger(repeatability, difference);
                }
            }
        }

        double? zeroReturn = load.Length > 1 && Math.Abs(load[^1] - load[0]) <= SameLoad * fullScaleN && Math.Abs(load[0]) <= Math.Abs(load.MinBy(Math.Abs)) + (SameLoad * fullScaleN)
            ? (reading[^1] - reading[0] - (gain * (load[^1] - load[0]))) / output
            : null;
        return new(linearity, hysteresis, repeatability, zeroReturn);
    }

    private static double? Larger(double? known, double candidate) =>
        known is not double value || Math.Abs(candidate) > value ? Math.Abs(candidate) : known;

    /// <summary>Which series each step belongs to, and whether the load rose to it; a new series begins where the load rises again after it fell.</summary>
    private static (int[] Series, bool[] IsLoading) Branches(double[] load, double still)
    {
        int[] series = new int[load.Length];
        bool[] isLoading = new bool[load.Length];
        isLoading[0] = true;
        for (int i = 1; i < load.Length; i++)
        {
            // In size, so that a cell calibrated in tension loads and unloads as well.
            double rise = Math.Abs(load[i]) - Math.Abs(load[i - 1]);
            isLoading[i] = Math.Abs(rise) <= still ? isLoading[i - 1] : rise > 0;
            series[i] = series[i - 1];
            if (isLoading[i] && !isLoading[i - 1])
            {
                series[i]++;
            }
        }

        return (series, isLoading);
    }
}
