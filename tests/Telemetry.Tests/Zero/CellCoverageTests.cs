using System.Collections.Immutable;
using System.Globalization;
using Telemetry.Aero;
using Telemetry.Car;
using Telemetry.Logs;
using Telemetry.Runs;
using Telemetry.Simulation;
using Telemetry.WheelLoads;
using Telemetry.Zero;

namespace Telemetry.Tests.Zero;

/// <summary>
/// How often the 95 % intervals hold the truth, when zeros, drifts, gains, cross-talk and the setup sheet are wrong by what they are stated to be. The truth is the simulator's, which
/// shares no estimating code. TELEMETRY_HEALTH_SEEDS=100 makes the tables of src/Telemetry/Zero/README.md.
/// </summary>
public class CellCoverageTests(ITestOutputHelper output)
{
    private static SimulatedCells Simulated => SimulatedCells.Once.Value;

    /// <summary>Lowest count that a true coverage of 95 % gives with more than one chance in 10,000 (normal approximation of the binomial, in the sense of a two-sided 3.7 sigma).</summary>
    private static int Fewest(int count, int independent) => (int)Math.Floor(count * (0.95 - (3.7 * Math.Sqrt(0.95 * 0.05 / independent))));

    [Fact]
    public void The_interval_of_a_zero_holds_the_true_zero()
    {
        int seeds = SimulatedCells.Seeds(6);
        int inside = 0;
        int driftInside = 0;
        double squares = 0;
        double widths = 0;
        for (int seed = 1; seed <= seeds; seed++)
        {
            Random random = new(seed);
            CarDefinition car = SimulatedCells.Car(random);
            LoadCellDefinition cells = new()
            {
                ZeroScatterN = 80,
                DriftNps = PerCorner.Of(_ => 0.1 * SimulatedCells.Normal(random)),
                TemperatureShiftNpK = PerCorner.Of(_ => 1.5 * SimulatedCells.Normal(random)),
            };
            (RunLog log, LoadCellErrors truth) = Simulated.LogOf(car, (ulong)seed, cells);
            ZeroedLoads loads = ZeroOffsets.From(RunAssembly.From(log, car), ZeroOptions.Default);
            Assert.Null(loads.WithheldBecause);
            foreach ((Corner corner, CornerZero zero) in loads.Zeros.Each())
            {
                (double error, double drift) = Errors(loads, corner, truth);
                squares += error * error;
                widths += 1.96 * zero.StandardUncertaintyN;
                inside += Math.Abs(error) <= 1.96 * zero.StandardUncertaintyN ? 1 : 0;
                driftInside += Math.Abs(drift) <= 1.96 * zero.DriftUncertaintyN!.Value ? 1 : 0;
            }
        }

        int count = 4 * seeds;
        output.WriteLine(string.Create(CultureInfo.InvariantCulture, $"| zero, own standstills | {count} | {100.0 * inside / count:0.0} | {Math.Sqrt(squares / count):0.0} | {widths / count:0.0} |"));
        output.WriteLine(string.Create(CultureInfo.InvariantCulture, $"| drift within the run | {count} | {100.0 * driftInside / count:0.0} |"));
        Assert.InRange(inside, Fewest(count, count), count);
        Assert.InRange(driftInside, Fewest(count, count), count);

        // Honest, not bloated: the sheet alone is 16 N in the pushrod, and nobody can use a zero that is known to 100 N.
        Assert.InRange(widths / count, 20, 100);
    }

    [Theory]
    [InlineData(2, 60)]
    [InlineData(5, 60)]
    [InlineData(5, 250)]
    public void The_intervals_of_a_run_with_a_borrowed_zero_hold_the_truth(int runsBefore, double scatterN)
    {
        int seeds = SimulatedCells.Seeds(4);
        AeroTruth truth = Simulated.Truth.AeroBySpeed.First(at => at.SpeedKmh == 280);
        int[] inside = new int[5];
        double[] squares = new double[2];
        double[] widths = new double[2];
        for (int seed = 1; seed <= seeds; seed++)
        {
            Random random = new(1000 + seed);
            CarDefinition car = SimulatedCells.Car(random);
            DateTimeOffset now = new(2026, 3, 14, 12, 0, 0, TimeSpan.Zero);
            PerCorner<double> mean = PerCorner.Of(_ => 100 * SimulatedCells.Normal(random));
            PerCorner<double> zero = PerCorner.Of(corner => mean[corner] + (scatterN * SimulatedCells.Normal(random)));
            (RunLog log, LoadCellErrors cells) = Simulated.LogOf(car, (ulong)seed, new LoadCellDefinition { ZeroN = zero });
            ZeroHistory history = History(car, runsBefore, now, mean, scatterN, random);
            Run run = RunAssembly.From(SimulatedCells.Moving(log, 22, (Simulated.Count / 200.0) - 16), car);
            ZeroedLoads loads = ZeroOffsets.From(run, ZeroOptions.Default with { History = history, TakenAtUtc = now });
            Assert.Null(loads.WithheldBecause);
            Assert.Single(loads.Findings, finding => finding.Kind == "zero_borrowed");
            foreach ((Corner corner, CornerZero borrowed) in loads.Zeros.Each())
            {
                double error = borrowed.StartN - cells.ZeroN((int)corner, 100);
                inside[0] += Math.Abs(error) <= 1.96 * borrowed.StandardUncertaintyN ? 1 : 0;
                squares[0] += error * error;
                widths[0] += 1.96 * borrowed.StandardUncertaintyN;
                double peak = loads.PushrodLoadN[corner].Max();
                double truePeak = Simulated.Signals.PushrodN[(int)corner].AsSpan()[(22 * 200)..(Simulated.Count - (16 * 200))].ToArray().Max();
                inside[1] += Math.Abs(peak - truePeak) <= 1.96 * borrowed.StandardUncertaintyN ? 1 : 0;
            }

            AeroResult result = AeroEstimate.From(WheelLoadFormation.From(loads, WheelLoadOptions.Default), AeroOptions.Default with { AtSpeedMps = 280 / 3.6 });
            AeroAtSpeed aero = result.AtReference ?? throw new InvalidOperationException(result.WithheldBecause);
            inside[2] += Holds(aero.FrontLoadN, truth.FrontLoadN) ? 1 : 0;
            inside[3] += Holds(aero.RearLoadN, truth.RearLoadN) ? 1 : 0;
            inside[4] += Holds(aero.TotalLoadN, truth.FrontLoadN + truth.RearLoadN) ? 1 : 0;
            squares[1] += Math.Pow(aero.TotalLoadN.Value - truth.FrontLoadN - truth.RearLoadN, 2);
            widths[1] += aero.TotalLoadN.HalfWidth;
        }

        output.WriteLine(string.Create(CultureInfo.InvariantCulture, $"| {runsBefore} runs, {scatterN:0} N | {100.0 * inside[0] / (4 * seeds):0.0} | {100.0 * inside[1] / (4 * seeds):0.0} | {100.0 * inside[2] / seeds:0} | {100.0 * inside[3] / seeds:0} | {100.0 * inside[4] / seeds:0} | {Math.Sqrt(squares[0] / 4 / seeds):0} | {widths[0] / 4 / seeds:0} | {Math.Sqrt(squares[1] / seeds):0} | {widths[1] / seeds:0} |"));
        Assert.InRange(inside[0], Fewest(4 * seeds, 4 * seeds), 4 * seeds);
        Assert.InRange(inside[1], Fewest(4 * seeds, 4 * seeds), 4 * seeds);
        for (int k = 2; k < 5; k++)
        {
            Assert.InRange(inside[k], Fewest(seeds, seeds), seeds);
        }
    }

    [Fact]
    public void Gain_and_cross_talk_of_scales_and_bench_hold_the_truth_and_mend_the_loads()
    {
        int seeds = SimulatedCells.Seeds(6);
        int gains = 0;
        int talks = 0;
        int talksKnown = 0;
        double gainSquares = 0;
        double raw = 0;
        double mended = 0;
        for (int seed = 1; seed <= seeds; seed++)
        {
            Random random = new(2000 + seed);
            CarDefinition car = SimulatedCells.Car(random);
            LoadCellDefinition cells = new()
            {
                ZeroScatterN = 60,
                GainError = PerCorner.Of(_ => 0.02 * SimulatedCells.Normal(random)),
                CrossTalk = PerCorner.Of(_ => 0.01 * SimulatedCells.Normal(random)),
            };
            CarDefinition calibrated = car with { Calibrations = [OnScales(car, cells, random)] };
            (RunLog log, LoadCellErrors truth) = Simulated.LogOf(car, (ulong)seed, cells);
            ZeroedLoads before = ZeroOffsets.From(RunAssembly.From(log, car), ZeroOptions.Default);
            ZeroedLoads after = ZeroOffsets.From(RunAssembly.From(log, calibrated), ZeroOptions.Default);
            foreach ((Corner corner, CellCalibration? cell) in after.Calibrations.Each())
            {
                double error = (cell!.Gain / (1 + cells.GainError[corner])) - 1;
                gainSquares += error * error;
                gains += Math.Abs(error) <= 1.96 * cell.GainUncertainty ? 1 : 0;
                Corner partner = (Corner)((int)corner ^ 1);
                if (cell.CrossTalk[partner] is double talk)
                {
                    talksKnown++;
                    talks += Math.Abs(talk - cells.CrossTalk[corner]) <= 1.96 * cell.CrossTalkUncertainty[partner]!.Value ? 1 : 0;
                }

                raw += WorstChange(before, corner);
                mended += WorstChange(after, corner);
            }
        }

        int count = 4 * seeds;
        output.WriteLine(string.Create(CultureInfo.InvariantCulture, $"| gain | {count} | {100.0 * gains / count:0.0} | rms error {100 * Math.Sqrt(gainSquares / count):0.000} % |"));
        output.WriteLine(string.Create(CultureInfo.InvariantCulture, $"| cross-talk | {talksKnown} | {100.0 * talks / Math.Max(1, talksKnown):0.0} | load error at peak {raw / count:0} N before, {mended / count:0} N after |"));
        Assert.InRange(gains, Fewest(count, count), count);
        Assert.Equal(count, talksKnown);
        Assert.InRange(talks, Fewest(count, count), count);
        Assert.True(mended < 0.35 * raw, $"{mended} against {raw}");
    }

    /// <summary>Error of the zero in the middle of the run, and of the drift from the middle of the first standstill to that of the last, N.</summary>
    private static (double ErrorN, double DriftErrorN) Errors(ZeroedLoads loads, Corner corner, LoadCellErrors truth)
    {
        Run run = loads.Run;
        SampleSource raw = run.OnClock(ChannelRoles.PushrodLoad(corner));
        int middle = run.Count / 2;
        double offset = raw[middle] - loads.PushrodLoadN[corner][middle];
        double At(StandstillWindow window) => truth.ZeroN((int)corner, (window.StartS + window.EndS) / 2);
        return (offset - truth.ZeroN((int)corner, run.Clock.At(middle)), loads.Zeros[corner].DriftN!.Value - (At(loads.Windows[^1]) - At(loads.Windows[0])));
    }

    private static bool Holds(Estimate estimate, double truth) => truth >= estimate.Low95 && truth <= estimate.High95;

    /// <summary>Zeros of earlier runs that scatter about the same mean as the run's own, an hour apart.</summary>
    private static ZeroHistory History(CarDefinition car, int runs, DateTimeOffset now, PerCorner<double> mean, double scatterN, Random random)
    {
        ZeroHistory history = ZeroHistory.Empty;
        for (int k = runs; k >= 1; k--)
        {
            history = history.With(new ZeroRun($"run {k}", $"hash {k}", car.Name, now.AddHours(-k), [.. Corners.All.Select(corner =>
            {
                double zero = mean[corner] + (scatterN * SimulatedCells.Normal(random));
                return new CellZero(CellZero.KeyOf(car, corner), corner.Code(), ZeroSource.GroundCornerWeights, zero, zero, 18, 8, 1, null, 0);
            })]));
        }

        return history;
    }

    /// <summary>Ballast on each wheel in turn, on and off, and what the cells then show: 0.1 % scales, 2 N of noise, 5 N of hysteresis.</summary>
    private static CalibrationRecord OnScales(CarDefinition car, LoadCellDefinition cells, Random random)
    {
        List<double[]> loads = [];
        double[] rest = [.. Corners.All.Select(SimulatedCells.StaticN)];
        double[] hysteresis = new double[4];
        List<double[]> readings = [];
        double scales = 0.001 * SimulatedCells.Normal(random);
        foreach (double[] step in Steps(rest))
        {
            double[] reading = new double[4];
            for (int c = 0; c < 4; c++)
            {
                double was = loads.Count == 0 ? step[c] : loads[^1][c];
                hysteresis[c] = step[c] > was + 1 ? -2.5 : step[c] < was - 1 ? 2.5 : hysteresis[c];
                reading[c] = ((1 + cells.GainError[(Corner)c]) * step[c]) + (cells.CrossTalk[(Corner)c] * step[c ^ 1]) + 33 + hysteresis[c] + (2 * SimulatedCells.Normal(random));
            }

            loads.Add(step);
            readings.Add(reading);
        }

        return new CalibrationRecord
        {
            Number = 1,
            Date = new DateOnly(2026, 3, 1),
            ValidUntil = new DateOnly(2026, 6, 1),
            AppliedN = PerCorner.Of(corner => (ImmutableArray<double>)[.. loads.Select(step => ((step[(int)corner] * SimulatedCells.Ratio(corner)) + SimulatedCells.UnsprungN(corner)) * (1 + scales))]),
            ReadingN = PerCorner.Of(corner => (ImmutableArray<double>)[.. readings.Select(reading => reading[(int)corner])]),
            DamperTravelM = PerCorner.Of(_ => default(ImmutableArray<double>)),
            AppliedUncertaintyShare = 0.001,
        };
    }

    private static IEnumerable<double[]> Steps(double[] rest)
    {
        yield return rest;
        for (int wheel = 0; wheel < 4; wheel++)
        {
            foreach (double more in new[] { 500.0, 1000, 1500, 1000, 500, 0 })
            {
                double[] step = [.. rest];
                step[wheel] += more;
                yield return step;
            }
        }
    }

    /// <summary>Largest error of the change of load since standstill, N: the zero's own error is the same in both.</summary>
    private static double WorstChange(ZeroedLoads loads, Corner corner)
    {
        double[] truth = Simulated.Signals.PushrodN[(int)corner];
        SampleSource found = loads.PushrodLoadN[corner];
        double offset = 0;
        for (int i = 0; i < 2000; i++)
        {
            offset += (found[i] - truth[i]) / 2000;
        }

        int peak = Array.IndexOf(truth, truth.Max());
        double sum = 0;
        for (int i = peak - 2; i <= peak + 2; i++)
        {
            sum += (found[i] - truth[i] - offset) / 5;
        }

        return Math.Abs(sum);
    }
}
