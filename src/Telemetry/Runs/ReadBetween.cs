using System.Buffers;
using System.Runtime.Intrinsics;
using Telemetry.Logs;

namespace Telemetry.Runs;

/// <summary>A channel at the points of a clock that is not its own, formed between its samples each time it is read; NaN in its gaps and where it has not begun.</summary>
internal sealed class ReadBetween : SampleSource
{
    /// <summary>A sample this near to a point of the clock, as a share of the step, is taken as it is.</summary>
    private const double SamePointShare = 1e-3;

    private readonly TimeBase _time;
    private readonly SampleSource _samples;
    private readonly TimeBase _clock;
    private readonly BetweenSamples _between;
    private readonly double _gapS;
    private readonly double _nearS;
    private readonly double _resetFall;
    private readonly double _pointsPerS;

    /// <param name="time">The channel's own time base.</param>
    /// <param name="samples">Its samples.</param>
    /// <param name="clock">The points at which it is wanted, an even grid.</param>
    /// <param name="between">How to read between samples.</param>
    /// <param name="gapS">Two samples further apart than this have a gap between them, s; nothing is drawn across it.</param>
    public ReadBetween(TimeBase time, SampleSource samples, TimeBase clock, BetweenSamples between, double gapS)
        : base(clock.Count)
    {
        _time = time;
        _samples = samples;
        _clock = clock;
        _between = between;
        _gapS = gapS;
        _nearS = SamePointShare * clock.StepS;
        _pointsPerS = 1 / clock.StepS;
        _resetFall = between == BetweenSamples.LineUnlessReset ? Extent(samples) / 2 : double.NaN;
    }

    /// <inheritdoc/>
    /// <remarks>Between two finite samples of an even grid that are no gap apart every point is finite, and so it is where the first and the last sample are.</remarks>
    internal override bool IsFiniteThroughout => Length > 0 && _time.IsEven && _time.Count > 0 && (1 + SamePointShare) * _time.StepS < _gapS
        && _time.StartS <= _clock.StartS && _clock.LastS <= _time.LastS && _samples.IsFiniteThroughout;

    /// <inheritdoc/>
    public override ReadOnlySpan<double> Read(int start, int count, Span<double> room)
    {
        Form(start, room[..count]);
        return room[..count];
    }

    /// <summary>True when some value has to be formed between samples; where each is a logged one or none, false.</summary>
    public bool FormsAny()
    {
        double[] room = RoomForBlock();
        foreach ((int start, int count) in Blocks(0, Length))
        {
            if (Form(start, room.AsSpan(0, count)))
            {
                return true;
            }
        }

        return false;
    }

    /// <summary>Forms the values from a point of the clock on; true when one of them is no logged one.</summary>
    private bool Form(int start, Span<double> placed)
    {
        if (placed.IsEmpty)
        {
            return false;
        }

        // Besides the samples within the stretch, the one before and the one behind it.
        int right = FirstNotBefore(_clock.At(start) - _nearS);
        int first = Math.Max(0, right - 1);
        int end = Math.Min(_samples.Length, FirstNotBefore(_clock.At(start + placed.Length - 1) - _nearS) + 1);
        double[] room = ArrayPool<double>.Shared.Rent(end - first);
        bool formed = Form(start, placed, _samples.Read(first, end - first, room), first, right);
        ArrayPool<double>.Shared.Return(room);
        return formed;
    }

    private bool Form(int start, Span<double> placed, ReadOnlySpan<double> samples, int first, int right)
    {
        bool formed = false;
        double rightS = right < _samples.Length ? _time.At(right) : double.NaN;
        for (int k = 0; k < placed.Length; k++)
        {
            double t = _clock.At(start + k);
            while (right < _samples.Length && rightS < t - _nearS)
            {
                right++;
                rightS = right < _samples.Length ? _time.At(right) : double.NaN;
            }

            if (right < _samples.Length && rightS <= t + _nearS)
            {
                placed[k] = samples[right - first];
                continue;
            }

            if (right == 0)
            {
                placed[k] = double.NaN;
                continue;
            }

            int left = right - 1;
            double leftS = _time.At(left);
            if (_between == BetweenSamples.Hold)
            {
                placed[k] = right < _samples.Length || t - leftS <= _gapS ? samples[left - first] : double.NaN;
                formed = true;
                continue;
            }

            if (right == _samples.Length || rightS - leftS > _gapS)
            {
                placed[k] = double.NaN;
                continue;
            }

            // All points of the clock between the same two samples at once: a slow channel has many.
            double from = samples[left - first], length = rightS - leftS, rise = Rise(from, samples[right - first]);
            int end = FirstReaching(rightS, start + k, start + placed.Length) - start;
            Line(start + k, leftS, length, from, rise, placed[k..end]);
            k = end - 1;
            formed = true;
        }

        return formed;
    }

    /// <summary>The first point of the clock behind one that reaches a sample's time; no further than the end.</summary>
    private int FirstReaching(double rightS, int behind, int end)
    {
        // The product may lie beside; the times themselves decide.
        double startS = _clock.StartS, stepS = _clock.StepS;
        int point = (int)Math.Min((rightS - startS) * _pointsPerS, end);
        point = Math.Max(point, behind + 1);
        while (point > behind + 1 && rightS <= startS + ((point - 1) * stepS) + _nearS)
        {
            point--;
        }

        while (point < end && !(rightS <= startS + (point * stepS) + _nearS))
        {
            point++;
        }

        return point;
    }

    /// <summary>Points on a straight line, the first of them at a point of the clock.</summary>
    private void Line(int point, double leftS, double lengthS, double from, double rise, Span<double> placed)
    {
        int i = 0;
        Vector256<double> points = Vector256.Create((double)point, point + 1, point + 2, point + 3);
        for (; i <= placed.Length - Vector256<double>.Count; i += Vector256<double>.Count)
        {
            // As TimeBase.At says the times of an even grid.
            Vector256<double> times = Vector256.Create(_clock.StartS) + (points * Vector256.Create(_clock.StepS));
            (Vector256.Create(from) + ((times - Vector256.Create(leftS)) / Vector256.Create(lengthS) * Vector256.Create(rise))).CopyTo(placed[i..]);
            points += Vector256.Create((double)Vector256<double>.Count);
        }

        for (; i < placed.Length; i++)
        {
            placed[i] = from + ((_clock.At(point + i) - leftS) / lengthS * rise);
        }
    }

    /// <summary>What the channel rises by from one sample to the next.</summary>
    private double Rise(double from, double to)
    {
        double rise = to - from;
        if (_between == BetweenSamples.Angle)
        {
            rise = Math.IEEERemainder(rise, 2 * Math.PI);
        }

        return _between == BetweenSamples.LineUnlessReset && -rise > _resetFall ? 0 : rise;
    }

    /// <summary>The first sample that is not before a time; the number of samples when all are.</summary>
    private int FirstNotBefore(double seconds)
    {
        if (!_time.IsEven)
        {
            (int low, int high) = (0, _time.Count);
            while (low < high)
            {
                int middle = (low + high) / 2;
                (low, high) = _time.At(middle) < seconds ? (middle + 1, high) : (low, middle);
            }

            return low;
        }

        // The quotient may lie beside by its rounding; the times themselves decide.
        int index = (int)Math.Clamp(Math.Ceiling((seconds - _time.StartS) / _time.StepS), 0, _time.Count);
        while (index > 0 && !(_time.At(index - 1) < seconds))
        {
            index--;
        }

        while (index < _time.Count && _time.At(index) < seconds)
        {
            index++;
        }

        return index;
    }

    private static double Extent(SampleSource samples)
    {
        (double low, double high) = Extremes.Of(samples, 0, samples.Length);
        return high > low ? high - low : double.PositiveInfinity;
    }
}
