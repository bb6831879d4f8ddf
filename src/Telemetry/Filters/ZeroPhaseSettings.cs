namespace Telemetry.Filters;

/// <summary>How the ends of a stretch are treated. The defaults suit logs; the numbers are settable so that other programs' results can be met.</summary>
public sealed record ZeroPhaseSettings
{
    /// <summary>The defaults.</summary>
    public static ZeroPhaseSettings Default { get; } = new();

    /// <summary>Samples by which each end is lengthened before filtering, mirrored through the end sample (odd reflection); 0 or above.
    /// Null, the default: as many as the filter's slowest transient takes to fall to a thousandth, so that the start of the
    /// lengthened signal no longer shows (about three periods of the cut-off of a fourth-order low pass).
    /// A stretch of n samples is never lengthened by more than n - 1, as there is nothing more to mirror.</summary>
    /// <exception cref="ArgumentOutOfRangeException">Below 0.</exception>
    public int? PaddingSamples
    {
        get;
        init => field = value is null or >= 0
            ? value
            : throw new ArgumentOutOfRangeException(nameof(value), value, "The padding must be 0 samples or above.");
    }

    /// <summary>A shorter stretch gets NaN, samples; 1 or above.
    /// Null, the default: half a period of the lower cut-off, for a band also half a period of the band's width, and never below 2:
    /// a time T cannot tell frequencies closer than 1/(2T) apart, so a shorter stretch would show the padding and not the car.</summary>
    /// <exception cref="ArgumentOutOfRangeException">Below 1.</exception>
    public int? MinimumStretchSamples
    {
        get;
        init => field = value is null or >= 1
            ? value
            : throw new ArgumentOutOfRangeException(nameof(value), value, "The shortest stretch must be 1 sample or above.");
    }

    internal int PaddingFor(ButterworthFilter filter)
    {
        const double FallToThousandth = 6.907755278982137; // ln(1000)
        if (PaddingSamples is int asked)
        {
            return asked;
        }

        double slowest = 0;
        foreach (FilterSection section in filter.Sections)
        {
            slowest = Math.Max(slowest, section.DecaySamples);
        }

        return WholeSamples(FallToThousandth * slowest, 1);
    }

    internal int MinimumStretchFor(ButterworthFilter filter)
    {
        if (MinimumStretchSamples is int asked)
        {
            return asked;
        }

        double finestHz = filter.CutoffsHz[0];
        if (filter.CutoffsHz.Length > 1)
        {
            finestHz = Math.Min(finestHz, filter.CutoffsHz[1] - filter.CutoffsHz[0]);
        }

        return WholeSamples(filter.SampleRateHz / (2 * finestHz), 2);
    }

    private static int WholeSamples(double samples, int least) => (int)Math.Clamp(Math.Ceiling(samples), least, 1 << 30);
}
