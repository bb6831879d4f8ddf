using System.Collections.Immutable;
using Telemetry.Fatigue;
using Telemetry.Logs;
using Telemetry.Runs;

namespace Telemetry.Tests.Fatigue;

/// <summary>How far the exceedance curve would scatter over laps like those of the run.</summary>
public class ExceedanceBandTests
{
    private const int LapSamples = 100;

    [Fact]
    public void Laps_that_are_all_alike_leave_no_scatter()
    {
        ExceedanceBand band = ExceedanceBand.Of(Part(8, _ => 3), Laps(8))!;
        Assert.Equal(band.Low95, band.High95);
        Assert.Equal(24, band.High95[0]);
        Assert.Equal(1_000, band.LevelsN[^1], 1e-9);
    }

    // Eight laps with 0 or 8 cycles, half each: the number of full laps among eight draws is binomial(8, 1/2), whose 2.5 and 97.5 % points are 1 and 7
    // (P(0) = 0.4 %, P(<= 1) = 3.5 %; tables of the binomial distribution). So 8 and 56 cycles.
    [Fact]
    public void Laps_of_two_kinds_scatter_as_the_binomial_distribution_says()
    {
        ExceedanceBand band = ExceedanceBand.Of(Part(8, lap => lap % 2 == 0 ? 8 : 0), Laps(8))!;
        Assert.Equal(8, band.Low95[0]);
        Assert.Equal(56, band.High95[0]);
    }

    [Fact]
    public void Cycles_of_laps_that_are_not_complete_are_not_drawn()
    {
        LapTable laps = Laps(8);
        laps = laps with { Laps = [.. laps.Laps.Select((lap, i) => lap with { IsComplete = i > 0 })] };
        ExceedanceBand band = ExceedanceBand.Of(Part(8, lap => lap == 0 ? 50 : 1), laps)!;
        Assert.Equal(57, band.Low95[0]);
        Assert.Equal(57, band.High95[0]);
    }

    [Fact]
    public void The_band_never_rises_with_the_range()
    {
        ExceedanceBand band = ExceedanceBand.Of(Part(8, lap => lap + 1, (lap, i) => 100 * (1 + ((lap + i) % 10))), Laps(8))!;
        Assert.All(Enumerable.Range(1, band.LevelsN.Length - 1), i => Assert.True(band.Low95[i] <= band.Low95[i - 1] && band.High95[i] <= band.High95[i - 1]));
        Assert.All(Enumerable.Range(0, band.LevelsN.Length), i => Assert.True(band.Low95[i] <= band.High95[i]));
    }

    [Fact]
    public void Four_complete_laps_and_a_load_that_never_moves_give_no_band()
    {
        Assert.Null(ExceedanceBand.Of(Part(4, _ => 3), Laps(4)));
        Assert.Null(ExceedanceBand.Of(Part(8, _ => 3, (_, _) => 0), Laps(8)));
        Assert.Null(ExceedanceBand.Of(Part(8, _ => 0), Laps(8)));
    }

    private static LapTable Laps(int count) => new(
        [.. Enumerable.Range(0, count).Select(i => new Lap(i + 1, i * LapSamples, (i + 1) * LapSamples, i, i + 1, 4000, true))],
        "test");

    private static ComponentResult Part(int laps, Func<int, int> cycles, Func<int, int, double>? rangeN = null)
    {
        (int Lap, int I)[] all = [.. Enumerable.Range(0, laps).SelectMany(lap => Enumerable.Range(0, cycles(lap)).Select(i => (lap, i)))];
        CycleCount count = new(
            [.. all.Select(_ => 0.0)],
            [.. all.Select(one => rangeN?.Invoke(one.Lap, one.I) ?? 1_000)],
            [.. all.Select(one => (one.Lap * LapSamples) + one.I)],
            [.. all.Select(one => (one.Lap * LapSamples) + one.I + 1)],
            [.. all.Select(_ => 1.0)]);
        return Output.SampleReviews.Full.Fatigue.Components[0] with { Cycles = count };
    }
}
