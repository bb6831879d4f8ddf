using System.Collections.Immutable;
using System.Numerics;

namespace Telemetry.Filters;

/// <summary>From the wish to the sections: prototype poles, band transformation, bilinear transformation.</summary>
/// <remarks>The bilinear variable is s = (z - 1) / (z + 1), so that a digital frequency f stands at tan(pi f / sample rate).</remarks>
internal readonly record struct SectionDesign(ImmutableArray<double> CutoffsHz, ImmutableArray<FilterSection> Sections)
{
    internal static SectionDesign For(ButterworthFilter filter)
    {
        double rateHz = filter.SampleRateHz;
        double low = Warp(filter.CutoffsHz[0], rateHz);

        // One pass at r times the prototype's cut-off passes 1 / sqrt(1 + r^2n); two passes have their -3 dB where r^2n = sqrt(2) - 1.
        double reach = filter.Meaning == CutoffMeaning.SinglePass ? 1 : Math.Pow(Math.Sqrt(2) - 1, 1.0 / (2 * filter.Order));
        switch (filter.Kind)
        {
            case FilterKind.LowPass:
                low /= reach;
                return new([Unwarp(low, rateHz)], EdgeSections(filter.Order, low, isLowPass: true));
            case FilterKind.HighPass:
                low *= reach;
                return new([Unwarp(low, rateHz)], EdgeSections(filter.Order, low, isLowPass: false));
            default:
                bool passes = filter.Kind == FilterKind.BandPass;
                double high = Warp(filter.CutoffsHz[1], rateHz);
                double centreSquare = low * high;
                double width = passes ? (high - low) / reach : (high - low) * reach;
                double upper = (width / 2) + Math.Sqrt((width * width / 4) + centreSquare);
                ImmutableArray<PolePair> pairs = BandPairs(filter.Order, width, centreSquare);
                return new(
                    [Unwarp(centreSquare / upper, rateHz), Unwarp(upper, rateHz)],
                    passes ? BandPassSections(pairs, centreSquare) : BandStopSections(pairs, centreSquare));
        }
    }

    private static double Warp(double frequencyHz, double rateHz) => Math.Tan(Math.PI * frequencyHz / rateHz);

    private static double Unwarp(double warped, double rateHz) => Math.Atan(warped) * rateHz / Math.PI;

    /// <summary>Poles of the normalised low pass in the upper half plane, then the real one when the order is odd:
    /// on the unit circle, at equal angles (the handbook polynomials are their products).</summary>
    private static IEnumerable<Complex> PrototypePoles(int order)
    {
        for (int k = 0; k < order / 2; k++)
        {
            (double sine, double cosine) = Math.SinCos(Math.PI * ((2 * k) + 1) / (2 * order));
            yield return new Complex(-sine, cosine);
        }

        if (order % 2 == 1)
        {
            yield return -1;
        }
    }

    /// <summary>A low pass has its zeros at z = -1 and gain 1 at 0 Hz; a high pass has them at z = 1 and gain 1 at half the sample rate.</summary>
    private static ImmutableArray<FilterSection> EdgeSections(int order, double warped, bool isLowPass)
    {
        List<PolePair> pairs = [];
        foreach (Complex pole in PrototypePoles(order))
        {
            // The high pass has its poles at warped / pole: the same set, as the prototype's poles lie on the unit circle.
            pairs.Add(pole.Imaginary > 0 ? PolePair.Complex(pole * warped) : PolePair.Single(pole.Real * warped));
        }

        return [.. PolePair.FarthestFromCircleFirst(pairs).Select(pair => isLowPass ? LowPassSection(pair) : HighPassSection(pair))];
    }

    private static FilterSection LowPassSection(PolePair pair) => pair.IsSingle
        ? pair.Section(pair.Sum / 2, 3 * pair.Sum / 2, pair.Sum)
        : pair.Section(pair.Sum / 4, pair.Sum, pair.Sum);

    private static FilterSection HighPassSection(PolePair pair) => pair.IsSingle
        ? pair.Section(pair.NyquistSum / 2, pair.NyquistSum / 2, 0)
        : pair.Section(pair.NyquistSum / 4, 0, 0);

    /// <summary>Each prototype pole p becomes the two roots of s^2 - width p s + centre^2; band pass and band stop share them.</summary>
    private static ImmutableArray<PolePair> BandPairs(int order, double width, double centreSquare)
    {
        List<PolePair> pairs = [];
        foreach (Complex pole in PrototypePoles(order))
        {
            Complex half = pole * (width / 2);
            Complex root = Complex.Sqrt((half * half) - centreSquare);

            // The larger root by addition, the other from the product of both: nothing cancels in a wide band.
            Complex larger = (half + root).Magnitude >= (half - root).Magnitude ? half + root : half - root;
            Complex smaller = centreSquare / larger;
            if (pole.Imaginary > 0)
            {
                pairs.Add(PolePair.Complex(larger));
                pairs.Add(PolePair.Complex(smaller));
            }
            else if (width * width < 4 * centreSquare)
            {
                pairs.Add(PolePair.Complex(larger));
            }
            else
            {
                pairs.Add(PolePair.Real(larger.Real, smaller.Real));
            }
        }

        return PolePair.FarthestFromCircleFirst(pairs);
    }

    /// <summary>As many zeros at z = 1 as at z = -1. The pair closest to the unit circle chooses first, and takes the two nearest.</summary>
    private static ImmutableArray<FilterSection> BandPassSections(ImmutableArray<PolePair> pairs, double centreSquare)
    {
        double sine = Math.Sqrt(centreSquare / (1 + centreSquare));
        double cosine = Math.Sqrt(1 / (1 + centreSquare));
        int atOne = pairs.Length;
        int atMinusOne = pairs.Length;
        FilterSection[] sections = new FilterSection[pairs.Length];
        for (int k = pairs.Length - 1; k >= 0; k--)
        {
            // z lies nearer to 1 than to -1 where |1 - z| < |1 + z|.
            int taken = pairs[k].Sum < pairs[k].NyquistSum ? Math.Min(2, atOne) : 2 - Math.Min(2, atMinusOne);
            atOne -= taken;
            atMinusOne -= 2 - taken;
            (double slope, double sum) = taken switch { 2 => (0.0, 0.0), 1 => (2.0, 0.0), _ => (4.0, 4.0) };
            double gain = 1 / pairs[k].Section(1, slope, sum).Magnitude(sine, cosine);
            sections[k] = pairs[k].Section(gain, gain * slope, gain * sum);
        }

        return [.. sections];
    }

    /// <summary>All zeros on the unit circle at the centre; gain 1 at 0 Hz section by section.</summary>
    private static ImmutableArray<FilterSection> BandStopSections(ImmutableArray<PolePair> pairs, double centreSquare)
    {
        double zeroSum = 4 * centreSquare / (1 + centreSquare);
        return [.. pairs.Select(pair => pair.Section(pair.Sum / zeroSum, pair.Sum, pair.Sum))];
    }
}
