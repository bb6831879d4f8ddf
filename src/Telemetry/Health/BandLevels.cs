using Telemetry.Filters;

namespace Telemetry.Health;

/// <summary>Power spectral density of a channel while running, from a few places of the run.</summary>
/// <remarks>Welch's method (<see cref="PowerSpectrum"/>) over 16 places spread over the running time, four segments each.</remarks>
internal sealed class BandLevels
{
    private const int Places = 16;
    private const int SegmentsAPlace = 4;

    private readonly List<double[]> places;
    private readonly double[] density;
    private readonly double lineHz;

    private BandLevels(List<double[]> places, double lineHz, double nyquistHz, int segments)
    {
        this.places = places;
        this.lineHz = lineHz;
        NyquistHz = nyquistHz;
        Segments = segments;
        density = new double[places[0].Length];
        foreach (double[] place in places)
        {
            for (int k = 0; k < density.Length; k++)
            {
                density[k] += place[k] / places.Count;
            }
        }
    }

    /// <summary>Half the rate, Hz.</summary>
    public double NyquistHz { get; }

    /// <summary>Segments that it rests on.</summary>
    public int Segments { get; }

    /// <summary>Of the running part; null when there is too little.</summary>
    public static BandLevels? Of(ChannelView view)
    {
        // About half a second a segment: lines stand 2 Hz apart, and a hub mode of 10 to 25 Hz has several.
        int segment = (int)System.Numerics.BitOperations.RoundUpToPowerOf2((uint)Math.Clamp(view.RateHz / 2, 16, 4096));
        int length = segment * (SegmentsAPlace + 1) / 2;
        long room = 0;
        foreach (SampleSpan span in view.Running)
        {
            room += Math.Max(0, span.Count - length);
        }

        // Places an even share of the running time apart.
        List<double[]> places = [];
        int segments = 0;
        long every = Math.Max(length, room / Places);
        long next = every / 2;
        long before = 0;
        foreach (SampleSpan span in view.Running)
        {
            long here = Math.Max(0, span.Count - length);
            for (; next < before + here; next += every)
            {
                PowerSpectrum spectrum = PowerSpectrum.Welch(
                    view.Samples.Slice(span.First + (int)(next - before), length), view.RateHz, new WelchSettings { SegmentSamples = segment });
                if (spectrum.SegmentsUsed == SegmentsAPlace)
                {
                    segments += SegmentsAPlace;
                    places.Add([.. spectrum.Density]);
                }
            }

            before += here;
        }

        return segments == 0 ? null : new(places, view.RateHz / segment, view.RateHz / 2, segments);
    }

    /// <summary>Mean density between two frequencies, unit squared per Hz; NaN when no line lies there.</summary>
    public double Mean(double fromHz, double toHz) => Mean(density, fromHz, toHz);

    /// <summary>
    /// Median over the places of the ratio of two bands' mean densities; NaN when one has no line. A braking or a kerb fills one band at one place;
    /// the median is what the road makes everywhere.
    /// </summary>
    public double MedianRatio((double FromHz, double ToHz) band, (double FromHz, double ToHz) over)
    {
        List<double> ratios = new(places.Count);
        foreach (double[] place in places)
        {
            double ratio = Mean(place, band.FromHz, band.ToHz) / Mean(place, over.FromHz, over.ToHz);
            if (double.IsFinite(ratio))
            {
                ratios.Add(ratio);
            }
        }

        ratios.Sort();
        return ratios.Count == 0 ? double.NaN : ratios[ratios.Count / 2];
    }

    /// <summary>Variance between two frequencies, unit squared.</summary>
    public double Variance(double fromHz, double toHz) => Sum(density, fromHz, toHz).Sum * lineHz;

    private double Mean(double[] levels, double fromHz, double toHz)
    {
        (double sum, int lines) = Sum(levels, fromHz, toHz);
        return lines == 0 ? double.NaN : sum / lines;
    }

    private (double Sum, int Lines) Sum(double[] levels, double fromHz, double toHz)
    {
        double sum = 0;
        int lines = 0;

        // The first line holds what is left of the mean and its slope, the last one is its own mirror image.
        for (int k = 1; k < levels.Length - 1; k++)
        {
            if (k * lineHz >= fromHz && k * lineHz <= toHz)
            {
                sum += levels[k];
                lines++;
            }
        }

        return (sum, lines);
    }
}
