using Telemetry.Car;
using Telemetry.Runs;
using Telemetry.WheelLoads;

namespace Telemetry.Kerbs;

/// <summary>Measures one strike (equation E8).</summary>
internal static class StrikeMeasure
{
    /// <summary>Time over which the slope of a load is taken, s: three samples at 1 kHz, so that noise does not make the steepest rise.</summary>
    private const double SlopeSpanS = 0.002;

    /// <summary>Mean of what sampling hides, as a share of its worst: the top lies anywhere within half a step of a sample, 1 - cos grows with the square, and the mean of u squared is a third.</summary>
    internal const double UnderReadMean = 1.0 / 3;

    /// <summary>Its standard deviation as a share of the worst: the root of 1/5 - 1/9.</summary>
    internal const double UnderReadDeviation = 0.298142396999972;

    /// <summary>Samples that are read at a time: a strike seldom lasts longer.</summary>
    private const int Near = 256;

    public static KerbStrike Of(StrikeCandidate candidate, CornerDynamics dynamics, WheelLoadSet wheels, KerbOptions options)
    {
        Run run = wheels.Run;
        double step = run.Clock.StepS;
        SampleCursor dynamic = dynamics.DynamicN.Cursor(Near);
        SampleSource loadN = wheels.Pushrods.PushrodLoadN[candidate.Corner];
        SampleCursor load = loadN.Cursor(Near);
        (int from, int to) = Feet(candidate, dynamic, dynamics.ScatterN);
        int until = Math.Min(load.Length, to + (int)Math.Round(options.ReboundS / step));
        int peak = HighestSample(load, candidate, dynamics);
        double duration = 1.5 * WidthAtHalf(dynamic, candidate) * step;
        bool hasZero = wheels.Pushrods.WithheldBecause is null && wheels.Pushrods.Zeros[candidate.Corner].Source != Zero.ZeroSource.None;
        int repairedGaps = RepairedSamples(run, candidate.Corner, RepairedFault.Gap, from, to);
        string? notJudged = options.NotJudgedBecause[candidate.Corner];
        double hidden = UnderRead.Worst(step, duration);
        double dynamicPeak = Math.Max(0, candidate.PeakN);
        double zeroAndGain = hasZero
            ? double.Hypot(wheels.Pushrods.Zeros[candidate.Corner].StandardUncertaintyN, wheels.Pushrods.GainUncertainty(candidate.Corner) * load[peak])
            : double.NaN;
        double truePeak = hasZero ? load[peak] + (UnderReadMean * hidden * dynamicPeak) : double.NaN;
        double truePeakDoubt = double.Hypot(zeroAndGain, UnderReadDeviation * hidden * dynamicPeak);
        StrikeSeverity severity = hasZero && notJudged is null
            ? StrikeSeverity.Of(candidate.Corner, wheels, from, until, load[peak], truePeak, truePeakDoubt, options)
            : StrikeSeverity.None;
        double margin = severity.Margin;
        bool isUnderRead = UnderRead.Matters(hidden, margin, options.UnderReadMatters);
        SampleSource speed = run.OnClock(ChannelRole.Speed);
        return new KerbStrike
        {
            Number = 0,
            FromIndex = Math.Max(0, from - (int)Math.Round(options.HistoryBeforeS / step)),
            ToIndex = until,
            PeakIndex = peak,
            TruePeakN = truePeak,
            TruePeakUncertaintyN = truePeakDoubt,
            Corner = candidate.Corner,
            Lap = run.Laps.At(peak).Number,
            TimeS = run.Clock.At(peak),
            DistanceM = run.LapDistanceM.IsEmpty ? double.NaN : run.LapDistanceM[peak],
            SpeedMps = speed.IsEmpty ? double.NaN : speed[peak],
            PeakLoadN = hasZero ? load[peak] : double.NaN,
            PeakUncertaintyN = zeroAndGain,
            LowestLoadN = hasZero ? Lowest(loadN.Between(from, until)) : double.NaN,
            DynamicPeakN = candidate.PeakN,
            WorstUnderReadShare = hidden,
            IsUnderRead = isUnderRead,
            RiseRateNps = SteepestRise(load, from, candidate.PeakIndex, step),
            DurationS = duration,
            ImpulseNs = Impulse(dynamics.DynamicN, from, to, step),
            DamperVelocityMps = BumpVelocity.Largest(wheels.Pushrods.DamperTravelM[candidate.Corner], from, to, step),
            RepairedSamples = repairedGaps + RepairedSamples(run, candidate.Corner, RepairedFault.Spike, from, to),
            IsLowerBound = isUnderRead || options.PeaksCutBecause[candidate.Corner] is not null || repairedGaps > 0 || HasGap(loadN.Between(from, to)) || CellReading.StandsAtRangeEnd(run, candidate.Corner, options.RangeEndShare, from, to),
            PairedWith = 0,
            Kerb = 0,
            WorstComponent = severity.WorstComponent,
            LimitProbability = severity.LimitProbability,
            InspectionComponent = severity.InspectionComponent,
            InspectionProbability = severity.InspectionProbability,
            MarginOfSafety = margin,
            NotJudgedBecause = notJudged,
        };
    }

    /// <summary>Samples between two feet for which a straight line stands in.</summary>
    private static int RepairedSamples(Run run, Corner corner, RepairedFault fault, int from, int to)
    {
        int samples = 0;
        foreach (Repaired repaired in run.Find(ChannelRoles.PushrodLoad(corner))?.Steps.OfType<Repaired>() ?? [])
        {
            if (repaired.Fault == fault)
            {
                samples += repaired.Spans.Sum(span => Math.Max(0, Math.Min(to, span.End) - Math.Max(from, span.First)));
            }
        }

        return samples;
    }

    /// <summary>The strike from foot to foot: out from the threshold to where the load is back within the quiet road's scatter, or a gap.</summary>
    private static (int From, int To) Feet(StrikeCandidate candidate, SampleCursor dynamic, double scatterN)
    {
        int from = candidate.FromIndex;
        while (from > 0 && dynamic[from - 1] > scatterN)
        {
            from--;
        }

        int to = candidate.ToIndex;
        while (to < dynamic.Length && dynamic[to] > scatterN)
        {
            to++;
        }

        return (from, to);
    }

    /// <summary>The largest load, which may stand beside the largest dynamic load; lone spikes are left out here and flagged by the log's health.</summary>
    private static int HighestSample(SampleCursor load, StrikeCandidate candidate, CornerDynamics dynamics)
    {
        int highest = candidate.PeakIndex;
        for (int i = candidate.FromIndex; i < candidate.ToIndex; i++)
        {
            if (load[i] > load[highest] && !dynamics.IsSpike(i))
            {
                highest = i;
            }
        }

        return highest;
    }

    private static double Lowest(ReadOnlySpan<double> load)
    {
        double lowest = double.PositiveInfinity;
        foreach (double value in load)
        {
            lowest = value < lowest ? value : lowest;
        }

        return lowest;
    }

    /// <summary>Samples, with parts, for which the load stays above half its peak around the peak.</summary>
    private static double WidthAtHalf(SampleCursor dynamic, StrikeCandidate candidate)
    {
        double half = candidate.PeakN / 2;
        int left = candidate.PeakIndex;
        while (left > 0 && dynamic[left - 1] > half)
        {
            left--;
        }

        int right = candidate.PeakIndex;
        while (right + 1 < dynamic.Length && dynamic[right + 1] > half)
        {
            right++;
        }

        double before = left > 0 ? Crossing(dynamic[left], dynamic[left - 1], half) : 0;
        double after = right + 1 < dynamic.Length ? Crossing(dynamic[right], dynamic[right + 1], half) : 0;
        return right - left + before + after;
    }

    /// <summary>Share of the step from a sample above the level to its neighbour below, at which a straight line meets the level; half a step beside a gap.</summary>
    private static double Crossing(double above, double below, double level) => double.IsFinite(below) ? (above - level) / (above - below) : 0.5;

    private static double SteepestRise(SampleCursor load, int from, int peak, double step)
    {
        int half = Math.Max(1, (int)Math.Round(SlopeSpanS / step / 2));
        double steepest = 0;
        for (int i = Math.Max(half, from); i <= peak && i + half < load.Length; i++)
        {
            // A comparison with NaN is false: a slope across a gap is not claimed.
            double slope = (load[i + half] - load[i - half]) / (2 * half * step);
            steepest = slope > steepest ? slope : steepest;
        }

        return steepest;
    }

    private static double Impulse(SampleSource dynamic, int from, int to, double step)
    {
        double sum = 0;
        foreach (double value in dynamic.Between(from, to))
        {
            sum += double.IsFinite(value) ? value : 0;
        }

        return sum * step;
    }

    private static bool HasGap(ReadOnlySpan<double> load)
    {
        foreach (double value in load)
        {
            if (!double.IsFinite(value))
            {
                return true;
            }
        }

        return false;
    }
}
