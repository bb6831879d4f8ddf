using CsCheck;
using Telemetry.Logs;
using Telemetry.Runs;

namespace Telemetry.Tests.Runs;

/// <summary>A slow channel on the clock, read in any stretch, has at each point what a search for the two samples beside that point gives.</summary>
public class ReadBetweenTests
{
    private const double GapSteps = 1.5;

    private static readonly Gen<(TimeBase Time, double[] Samples)> Channel = Gen.Select(Gen.Double[-1, 3], Gen.Int[0, 3].Select(k => new[] { 0.02, 0.1, 0.013, 0.001 }[k]), Gen.Int[1, 80], Gen.Bool, Gen.Int[0, 1000]).Select(
        (start, step, count, isEven, seed) =>
        {
            Random random = new(seed);
            double[] samples = [.. Enumerable.Range(0, count).Select(_ => random.Next(12) == 0 ? double.NaN : 10 * random.NextDouble())];
            double at = start;
            return (isEven
                ? TimeBase.Even(start, step, count)
                : TimeBase.Uneven([.. Enumerable.Range(0, count).Select(_ => at += step * (random.Next(15) == 0 ? 5 : 0.8 + (0.4 * random.NextDouble())))]), samples);
        });

    [Theory]
    [InlineData((int)BetweenSamples.Line)]
    [InlineData((int)BetweenSamples.Hold)]
    [InlineData((int)BetweenSamples.LineUnlessReset)]
    [InlineData((int)BetweenSamples.Angle)]
    public void Each_point_is_formed_of_the_samples_beside_it(int how)
    {
        BetweenSamples between = (BetweenSamples)how;
        Gen.Select(Channel, Gen.Int[2, 3000]).Sample(
            (channel, points) =>
            {
                TimeBase clock = TimeBase.Even(0, 0.001, points);
                double gapS = GapSteps * (double.IsNaN(channel.Time.StepS) ? clock.StepS : channel.Time.StepS);
                ReadBetween read = new(channel.Time, [.. channel.Samples], clock, between, gapS);
                double[] expected = new double[points];
                bool formed = false;
                for (int k = 0; k < points; k++)
                {
                    (expected[k], bool isFormed) = At(channel.Time, channel.Samples, clock, k, between, gapS);
                    formed |= isFormed;
                }

                Assert.Equal(expected, read.ToArray());
                Assert.Equal(formed, read.FormsAny());
                SampleSourceTests.AssertReadsAlike(read);
            },
            iter: 150);
    }

    [Fact]
    public void A_channel_that_is_said_to_be_finite_throughout_is()
    {
        Gen.Select(Channel, Gen.Int[2, 3000], Gen.Int[0, 3]).Sample(
            (channel, points, how) =>
            {
                // Packed decimals are known to be finite; one that is missing leaves its channel unknown.
                double[] samples = [.. channel.Samples.Select(sample => Math.Round(sample, 2))];
                TimeBase clock = TimeBase.Even(0, 0.001, points);
                ReadBetween read = new(channel.Time, PiecedSamples.Pack(samples), clock, (BetweenSamples)how, GapSteps * (double.IsNaN(channel.Time.StepS) ? 1 : channel.Time.StepS));
                Assert.True(!read.IsFiniteThroughout || read.All(double.IsFinite));
            },
            iter: 2000);
        TimeBase slow = TimeBase.Even(0, 0.01, 101);
        Assert.True(new ReadBetween(slow, PiecedSamples.Pack([.. Enumerable.Range(0, 101).Select(i => i / 10.0)]), TimeBase.Even(0, 0.001, 1001), BetweenSamples.Line, 0.015).IsFiniteThroughout);
        Assert.False(new ReadBetween(slow, PiecedSamples.Pack([.. Enumerable.Range(0, 101).Select(i => i / 10.0)]), TimeBase.Even(0, 0.001, 1002), BetweenSamples.Line, 0.015).IsFiniteThroughout);
    }

    /// <summary>One point by itself: the sample on it, else what lies between its neighbours.</summary>
    private static (double Value, bool IsFormed) At(TimeBase time, double[] samples, TimeBase clock, int k, BetweenSamples between, double gapS)
    {
        double near = 1e-3 * clock.StepS;
        double t = clock.At(k);
        int right = 0;
        while (right < samples.Length && time.At(right) < t - near)
        {
            right++;
        }

        if (right < samples.Length && time.At(right) <= t + near)
        {
            return (samples[right], false);
        }

        if (right == 0)
        {
            return (double.NaN, false);
        }

        double before = samples[right - 1], leftS = time.At(right - 1);
        if (between == BetweenSamples.Hold)
        {
            return (right < samples.Length || t - leftS <= gapS ? before : double.NaN, true);
        }

        if (right == samples.Length || time.At(right) - leftS > gapS)
        {
            return (double.NaN, false);
        }

        double rise = samples[right] - before;
        double[] known = [.. samples.Where(double.IsFinite)];
        bool isReset = between == BetweenSamples.LineUnlessReset && known.Length > 0 && known.Max() > known.Min() && -rise > (known.Max() - known.Min()) / 2;
        rise = between == BetweenSamples.Angle ? Math.IEEERemainder(rise, 2 * Math.PI) : isReset ? 0 : rise;
        return (before + ((t - leftS) / (time.At(right) - leftS) * rise), true);
    }
}
