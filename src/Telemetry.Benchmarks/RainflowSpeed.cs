using System.Diagnostics;
using System.Runtime.InteropServices;
using Telemetry.Fatigue;

namespace Telemetry.Benchmarks;

/// <summary>The cycle count against the clock in one short run, for <c>rainflow-speed.sh</c>: best and median of many counts of the same load.</summary>
internal static class RainflowSpeed
{
    private const int Repeats = 61;

    /// <summary>Writes the load as raw doubles for the peers.</summary>
    public static void WriteSignal(string file) => File.WriteAllBytes(file, MemoryMarshal.AsBytes(LoadLikeSignal.Make().AsSpan()));

    /// <summary>Times and prints.</summary>
    public static void Run()
    {
        Cli.FreshMemory.Ask();
        double[] load = LoadLikeSignal.Make();
        int[] found = new int[load.Length];
        int turns = TurningPoints.Find(load, found);
        Console.WriteLine(FormattableString.Invariant($"{load.Length} samples, a turning point every {(double)load.Length / turns:0.0}"));
        Time("turning points alone", load, () => TurningPoints.Find(load, found));
        Time("every cycle with both loads and both places", load, () =>
        {
            RainflowCounter counter = new();
            counter.Add(load);
            return counter.Finish().Count;
        });
        Time("the same as a result of its own (one more copy)", load, () =>
        {
            RainflowCounter counter = new();
            counter.Add(load);
            return counter.Count().Count;
        });
        Time("every cycle, hysteresis filter of 50 N", load, () =>
        {
            RainflowCounter counter = new(50);
            counter.Add(load);
            return counter.Finish().Count;
        });
    }

    private static void Time(string what, double[] load, Func<int> count)
    {
        // Enough calls first that the code has its last form.
        for (long end = Stopwatch.GetTimestamp() + (Stopwatch.Frequency / 2); Stopwatch.GetTimestamp() < end;)
        {
            _ = count();
        }

        double[] seconds = new double[Repeats];
        int result = 0;
        for (int i = 0; i < Repeats; i++)
        {
            long start = Stopwatch.GetTimestamp();
            result = count();
            seconds[i] = Stopwatch.GetElapsedTime(start).TotalSeconds;
        }

        Array.Sort(seconds);
        Console.WriteLine(FormattableString.Invariant($"{what,-50} median {load.Length / seconds[Repeats / 2] / 1e6,6:0} best {load.Length / seconds[0] / 1e6,6:0} million samples/s, {result} entries"));
    }
}
