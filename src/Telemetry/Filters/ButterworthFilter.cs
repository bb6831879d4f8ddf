using System.Collections.Immutable;

namespace Telemetry.Filters;

/// <summary>Which frequencies a filter lets pass.</summary>
public enum FilterKind
{
    /// <summary>Those below the cut-off.</summary>
    LowPass,

    /// <summary>Those above the cut-off.</summary>
    HighPass,

    /// <summary>Those between the two cut-offs.</summary>
    BandPass,

    /// <summary>Those outside the two cut-offs.</summary>
    BandStop,
}

/// <summary>Where the stated cut-off has its -3 dB.</summary>
public enum CutoffMeaning
{
    /// <summary>The whole zero-phase operation, forward and backward, passes 1/sqrt(2) of a sine at the cut-off.
    /// The design for each of the two passes is moved so that this holds.</summary>
    ForwardAndBackward,

    /// <summary>One pass passes 1/sqrt(2) of a sine at the cut-off; run forward and backward, the filter passes a half there.</summary>
    SinglePass,
}

/// <summary>A Butterworth filter for one sample rate, as second-order sections. Immutable; holds no signal state.</summary>
/// <remarks>
/// Analogue prototype, band transformation, bilinear transformation with the cut-offs pre-warped: Oppenheim and Schafer,
/// Discrete-Time Signal Processing, chapter 7; the same method as scipy.signal.butter, against whose values it is tested.
/// Poles go from the analogue plane straight into sections and no polynomial of the whole filter is ever formed.
/// The design is our own for that reason: NWaves 0.9.6 goes through polynomials, and its low pass misses 1/sqrt(2) at the cut-off
/// by 4e-11 (order 4) and 5e-7 (order 8) at 1/100 of the sample rate, by 1e-5 and wholly at 1/4000.
/// Sections whose poles lie closest to the unit circle run last, each with the zeros nearest to its poles.
/// Equality compares the sections' array by identity.
/// </remarks>
public sealed record ButterworthFilter
{
    private ButterworthFilter(FilterKind kind, int order, ImmutableArray<double> cutoffsHz, double sampleRateHz, CutoffMeaning meaning)
    {
        Kind = kind;
        Order = order;
        CutoffsHz = cutoffsHz;
        SampleRateHz = sampleRateHz;
        Meaning = meaning;
        SectionDesign design = SectionDesign.For(this);
        DesignCutoffsHz = design.CutoffsHz;
        Sections = design.Sections;
    }

    /// <summary>Highest order that can be asked for. Above it nothing is gained for signals of this trade, and the ringing is long.</summary>
    public const int HighestOrder = 12;

    /// <summary>Which frequencies pass.</summary>
    public FilterKind Kind { get; }

    /// <summary>Order of the low-pass prototype, 1 to <see cref="HighestOrder"/>. A band filter has twice as many poles.</summary>
    public int Order { get; }

    /// <summary>The cut-offs as asked for, Hz: one, or the lower and the upper one.</summary>
    public ImmutableArray<double> CutoffsHz { get; }

    /// <summary>The -3 dB frequencies of one pass, Hz, in the order of <see cref="CutoffsHz"/>: equal to these for
    /// <see cref="CutoffMeaning.SinglePass"/>, further into the stopped band for <see cref="CutoffMeaning.ForwardAndBackward"/>.</summary>
    public ImmutableArray<double> DesignCutoffsHz { get; }

    /// <summary>Samples a second that the filter is made for, Hz.</summary>
    public double SampleRateHz { get; }

    /// <summary>Whether the cut-offs hold for one pass or for the whole zero-phase operation.</summary>
    public CutoffMeaning Meaning { get; }

    /// <summary>The sections in the order in which they run; each passes the middle of the passed band with gain 1.</summary>
    public ImmutableArray<FilterSection> Sections { get; }

    /// <summary>Passes what is slower than the cut-off.</summary>
    /// <param name="order">Order, 1 to <see cref="HighestOrder"/>.</param>
    /// <param name="cutoffHz">Cut-off, Hz, above 0 and below half the sample rate.</param>
    /// <param name="sampleRateHz">Sample rate, Hz.</param>
    /// <param name="meaning">What the cut-off holds for.</param>
    /// <exception cref="ArgumentOutOfRangeException">An argument is NaN or outside its range.</exception>
    public static ButterworthFilter LowPass(
        int order, double cutoffHz, double sampleRateHz, CutoffMeaning meaning = CutoffMeaning.ForwardAndBackward) =>
        Checked(FilterKind.LowPass, order, [cutoffHz], sampleRateHz, meaning);

    /// <summary>Passes what is faster than the cut-off; takes away a constant exactly.</summary>
    /// <inheritdoc cref="LowPass"/>
    public static ButterworthFilter HighPass(
        int order, double cutoffHz, double sampleRateHz, CutoffMeaning meaning = CutoffMeaning.ForwardAndBackward) =>
        Checked(FilterKind.HighPass, order, [cutoffHz], sampleRateHz, meaning);

    /// <summary>Passes what lies between two cut-offs.</summary>
    /// <param name="order">Order of the prototype, 1 to <see cref="HighestOrder"/>; each flank falls like a low pass of this order.</param>
    /// <param name="lowHz">Lower cut-off, Hz, above 0.</param>
    /// <param name="highHz">Upper cut-off, Hz, above the lower one and below half the sample rate.</param>
    /// <param name="sampleRateHz">Sample rate, Hz.</param>
    /// <param name="meaning">What the cut-offs hold for.</param>
    /// <exception cref="ArgumentOutOfRangeException">An argument is NaN or outside its range.</exception>
    public static ButterworthFilter BandPass(
        int order, double lowHz, double highHz, double sampleRateHz, CutoffMeaning meaning = CutoffMeaning.ForwardAndBackward) =>
        Checked(FilterKind.BandPass, order, [lowHz, highHz], sampleRateHz, meaning);

    /// <summary>Stops what lies between two cut-offs.</summary>
    /// <inheritdoc cref="BandPass"/>
    public static ButterworthFilter BandStop(
        int order, double lowHz, double highHz, double sampleRateHz, CutoffMeaning meaning = CutoffMeaning.ForwardAndBackward) =>
        Checked(FilterKind.BandStop, order, [lowHz, highHz], sampleRateHz, meaning);

    /// <summary>A band stop whose zero sits exactly on one frequency.</summary>
    /// <param name="order">Order of the prototype, 1 to <see cref="HighestOrder"/>.</param>
    /// <param name="centreHz">Frequency that is taken away wholly, Hz.</param>
    /// <param name="widthHz">Distance between the two cut-offs, Hz, above 0. The bilinear transformation puts them not quite evenly about the centre.</param>
    /// <param name="sampleRateHz">Sample rate, Hz.</param>
    /// <param name="meaning">What the width holds for.</param>
    /// <exception cref="ArgumentOutOfRangeException">An argument is NaN, or a cut-off falls outside 0 to half the sample rate.</exception>
    public static ButterworthFilter Notch(
        int order, double centreHz, double widthHz, double sampleRateHz, CutoffMeaning meaning = CutoffMeaning.ForwardAndBackward)
    {
        // The formula below knows the centre's square only, so a centre outside the range would pass for its mirror image.
        if (!(centreHz > 0 && centreHz < sampleRateHz / 2))
        {
            throw new ArgumentOutOfRangeException(nameof(centreHz), centreHz, "The centre must be above 0 Hz and below half the sample rate.");
        }

        // The warped centre is the geometric mean of the warped cut-offs: tan(m - d) tan(m + d) = tan(c)^2 solved for m,
        // in half-angle form so that low frequencies keep their digits. m, d, c: middle, half width, centre as turns per sample times pi.
        // Above a quarter of the sample rate the same is done on the mirrored frequency, where the arc sine is as exact again.
        bool isMirrored = 4 * centreHz > sampleRateHz;
        double nearHz = isMirrored ? (sampleRateHz / 2) - centreHz : centreHz;
        double centreSquare = Square(Math.Sin(Math.PI * nearHz / sampleRateHz));
        double widthSquare = Square(Math.Sin(Math.PI * widthHz / (2 * sampleRateHz)));
        double middleSquare = widthSquare + centreSquare - (2 * widthSquare * centreSquare);
        double middleHz = Math.Asin(Math.Sqrt(middleSquare)) * sampleRateHz / Math.PI;
        middleHz = isMirrored ? (sampleRateHz / 2) - middleHz : middleHz;
        return BandStop(order, middleHz - (widthHz / 2), middleHz + (widthHz / 2), sampleRateHz, meaning);
    }

    /// <summary>What one pass makes of a sine: amplitude out over amplitude in.</summary>
    /// <param name="frequencyHz">Frequency, Hz, from 0 to half the sample rate.</param>
    /// <exception cref="ArgumentOutOfRangeException">The frequency is NaN or outside its range.</exception>
    public double SinglePassMagnitude(double frequencyHz)
    {
        if (!(frequencyHz >= 0 && frequencyHz <= SampleRateHz / 2))
        {
            throw new ArgumentOutOfRangeException(nameof(frequencyHz), frequencyHz, "The frequency must lie from 0 Hz to half the sample rate.");
        }

        (double sine, double cosine) = Math.SinCos(Math.PI * frequencyHz / SampleRateHz);
        double product = 1;
        foreach (FilterSection section in Sections)
        {
            product *= section.Magnitude(sine, cosine);
        }

        return product;
    }

    /// <summary>What forward and backward filtering makes of a sine: amplitude out over amplitude in; its phase stays.</summary>
    /// <inheritdoc cref="SinglePassMagnitude"/>
    public double ZeroPhaseMagnitude(double frequencyHz)
    {
        double once = SinglePassMagnitude(frequencyHz);
        return once * once;
    }

    private static double Square(double value) => value * value;

    private static ButterworthFilter Checked(
        FilterKind kind, int order, ImmutableArray<double> cutoffsHz, double sampleRateHz, CutoffMeaning meaning)
    {
        ArgumentOutOfRangeException.ThrowIfLessThan(order, 1);
        ArgumentOutOfRangeException.ThrowIfGreaterThan(order, HighestOrder);
        if (!(sampleRateHz > 0) || !double.IsFinite(sampleRateHz))
        {
            throw new ArgumentOutOfRangeException(nameof(sampleRateHz), sampleRateHz, "The sample rate must be above 0 Hz.");
        }

        double floorHz = 0;
        foreach (double cutoffHz in cutoffsHz)
        {
            if (!(cutoffHz > floorHz && cutoffHz < sampleRateHz / 2))
            {
                throw new ArgumentOutOfRangeException(
                    nameof(cutoffsHz), cutoffHz, $"A cut-off must be above {floorHz:R} Hz and below half the sample rate, {sampleRateHz / 2:R} Hz.");
            }

            floorHz = cutoffHz;
        }

        return new(kind, order, cutoffsHz, sampleRateHz, meaning);
    }
}
