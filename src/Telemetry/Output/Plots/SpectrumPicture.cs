using ScottPlot;
using Telemetry.Car;
using Telemetry.Filters;
using Telemetry.Review;

namespace Telemetry.Output.Plots;

/// <summary>Power spectra of the four pushrod loads, both axes logarithmic.</summary>
internal static class SpectrumPicture
{
    public const string Name = "pushrod_spectra";

    /// <summary>Lines of a spectrum are averaged to this many points a decade, so that its scatter does not hide its shape.</summary>
    private const int PointsPerDecade = 70;

    /// <summary>The wheel on its tyre and the body on its springs swing below and above this frequency (common practice, no source).</summary>
    private const double BodyBelowHz = 8;

    public static Sketch Draw(RunReview review)
    {
        double rateHz = review.Run.Clock.RateHz;
        List<(Corner Corner, double[] LogHz, double[] LogDensity, double PeakHz)> lines = [];
        foreach ((Corner corner, SampleSource load) in review.Wheels.Pushrods.PushrodLoadN.Each())
        {
            using WholeSamples whole = load.Whole();
            if (!load.IsEmpty && Smooth(PowerSpectrum.Welch(whole.Span, rateHz)) is { } line)
            {
                lines.Add((corner, line.LogHz, line.LogDensity, line.PeakHz));
            }
        }

        if (lines.Count == 0)
        {
            return Sketch.Without(Name, "No pushrod load is long enough, without gaps, for a spectrum.");
        }

        string peaks = string.Join(", ", lines.Where(l => double.IsFinite(l.PeakHz)).Select(l => $"{l.Corner.Code()} {Say.Number(l.PeakHz, 1)} Hz"));
        string title = peaks.Length == 0 ? $"Pushrod load spectra up to {Say.Number(rateHz / 2, 0)} Hz" : $"Above {BodyBelowHz:0} Hz the pushrod loads are strongest at {peaks}";
        Figure figure = new(Name, title, Look.Subtitle(review, $"Welch, Hann window, logged at {Say.Number(rateHz, 0)} Hz"),
            $"Power spectral density of the pushrod loads in kN²/Hz against frequency in Hz, both logarithmic, {Say.Count(lines.Count, "corner")}. {title}.");
        FigurePanel panel = figure.AddPanel(Share.All, "Frequency (Hz, logarithmic)", "Power spectral density (kN²/Hz, logarithmic)");
        panel.Room = new(140, 24, 78, 10);
        Plot plot = panel.Plot;
        foreach (var line in lines)
        {
            Sign sign = Look.Of(line.Corner);
            Traces.Line(plot, line.LogHz, line.LogDensity, sign, 2.4f);
            figure.Explain(LegendEntry.Line(line.Corner.Code(), sign));
        }

        double low = lines.Min(l => l.LogDensity.Min()), high = lines.Max(l => l.LogDensity.Max());
        double left = lines.Min(l => l.LogHz[0]), right = Math.Log10(rateHz / 2);
        plot.Axes.Bottom.TickGenerator = Look.Decades(left, right);
        plot.Axes.Left.TickGenerator = Look.Decades(low, high);
        plot.Axes.SetLimits(left, right, low - 0.15, high + 0.15);
        figure.Footnote = "The whole run; stretches with gaps are left out. The area under a curve is the variance of the load.";
        return Sketch.Of(figure);
    }

    /// <summary>The density averaged in even steps of log frequency, in log10 of kN²/Hz, and the frequency of its peak above the body's own; null without a segment.</summary>
    private static (double[] LogHz, double[] LogDensity, double PeakHz)? Smooth(PowerSpectrum spectrum)
    {
        List<double> logHz = [], logDensity = [];
        double sum = 0;
        int count = 0, cell = int.MinValue;
        double first = 0;
        int end = spectrum.Density.Length - 1; // The last line, at half the logging rate, is counted once and not twice like the others.
        for (int i = 1; i <= end; i++)
        {
            bool isEnd = i == end;
            int next = isEnd ? int.MaxValue : (int)Math.Floor(Math.Log10(spectrum.FrequencyHz[i]) * PointsPerDecade);
            if (next != cell && count > 0)
            {
                double hz = (first + spectrum.FrequencyHz[i - 1]) / 2, density = sum / count;
                if (density > 0 && double.IsFinite(density))
                {
                    logHz.Add(Math.Log10(hz));
                    logDensity.Add(Math.Log10(density * Say.KnPerN * Say.KnPerN));
                }

                (sum, count) = (0, 0);
            }

            if (!isEnd)
            {
                first = count == 0 ? spectrum.FrequencyHz[i] : first;
                cell = next;
                sum += spectrum.Density[i];
                count++;
            }
        }

        return logHz.Count < 3 ? null : ([.. logHz], [.. logDensity], Peak(logHz, logDensity));
    }

    /// <summary>
    /// The frequency above the body's own at which the power a decade peaks, Hz; NaN when it only falls. A peak stands above all within
    /// a tenth of a decade on both sides: the flank of the body's own motion, at the edge of the search, is none.
    /// </summary>
    internal static double Peak(IReadOnlyList<double> logHz, IReadOnlyList<double> logDensity)
    {
        const double Apart = 0.1;
        int best = -1;
        for (int i = 0; i < logHz.Count; i++)
        {
            if (logHz[i] > Math.Log10(BodyBelowHz) && (best < 0 || Height(i) > Height(best)) && StandsAlone(i))
            {
                best = i;
            }
        }

        return best < 0 ? double.NaN : Math.Pow(10, logHz[best]);

        double Height(int i) => logDensity[i] + logHz[i];

        bool StandsAlone(int i)
        {
            for (int k = 0; k < logHz.Count; k++)
            {
                if (k != i && Math.Abs(logHz[k] - logHz[i]) < Apart && Height(k) >= Height(i))
                {
                    return false;
                }
            }

            return logHz[^1] - logHz[i] >= Apart;
        }
    }
}
