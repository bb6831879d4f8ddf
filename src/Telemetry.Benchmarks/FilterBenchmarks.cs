using BenchmarkDotNet.Attributes;
using Telemetry.Filters;

namespace Telemetry.Benchmarks;

/// <summary>Filtering 15 minutes at 1 kHz. The peer is scipy.signal.sosfiltfilt on the same length, order and cut-off.</summary>
[MemoryDiagnoser]
public class FilterBenchmarks
{
    private const int Samples = 900_000;
    private const double RateHz = 1000;
    private double[] result = [];
    private double[] samples = [];
    private ButterworthFilter filter = ButterworthFilter.LowPass(1, 1, RateHz);
    private ButterworthFilter onePass = ButterworthFilter.LowPass(1, 1, RateHz, CutoffMeaning.SinglePass);

    [Params(4, 8)]
    public int Order { get; set; }

    [GlobalSetup]
    public void Prepare()
    {
        Random random = new(1);
        result = new double[Samples];
        samples = new double[Samples];
        for (int i = 0; i < Samples; i++)
        {
            samples[i] = random.NextDouble() - 0.5;
        }

        filter = ButterworthFilter.LowPass(Order, 10, RateHz);
        onePass = ButterworthFilter.LowPass(Order, 10, RateHz, CutoffMeaning.SinglePass);
    }

    [Benchmark(Baseline = true)]
    public double OneChannelZeroPhase()
    {
        ZeroPhase.Filter(samples, filter, result);
        return result[^1];
    }

    [Benchmark]
    public double OneChannelCausal()
    {
        CausalFilter.Filter(samples, onePass, result);
        return result[^1];
    }

    [Benchmark]
    public double SpectrumOfOneChannel() => PowerSpectrum.Welch(samples, RateHz).Density[1];
}
