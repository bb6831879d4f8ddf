using System.Diagnostics;
using System.Numerics;

namespace Telemetry.Benchmarks.Table;

/// <summary>What the machine's memory gives: the best of a copy and of a triad a = b + s c, counted as STREAM counts them (McCalpin 1995, from memory): each array once, no allocation on write.</summary>
internal static class MemoryBandwidth
{
    /// <summary>128 MB an array: many times what a core's caches hold.</summary>
    private const int Values = 1 << 24;

    private const int Repeats = 9;
    private const int BytesOfDouble = 8;

    /// <summary>Bytes a second that a number of cores reach together.</summary>
    /// <param name="cores">Threads, each on its own share of the arrays.</param>
    public static double BytesPerSecond(int cores)
    {
        double[] a = new double[Values];
        double[] b = new double[Values];
        double[] c = new double[Values];
        // Touched once by the threads that use them.
        _ = Seconds(cores, (from, length) =>
        {
            a.AsSpan(from, length).Fill(1);
            b.AsSpan(from, length).Fill(2);
            c.AsSpan(from, length).Fill(3);
        });
        double best = 0;
        for (int repeat = 0; repeat < Repeats; repeat++)
        {
            double copy = Seconds(cores, (from, length) => b.AsSpan(from, length).CopyTo(a.AsSpan(from, length)));
            double triad = Seconds(cores, (from, length) => Triad(b.AsSpan(from, length), c.AsSpan(from, length), a.AsSpan(from, length)));
            best = Math.Max(best, BytesOfDouble * (double)Values * Math.Max(2 / copy, 3 / triad));
        }

        return best;
    }

    private static void Triad(ReadOnlySpan<double> b, ReadOnlySpan<double> c, Span<double> a)
    {
        const double Factor = 3;
        int width = Vector<double>.Count;
        int at = 0;
        for (; at <= a.Length - width; at += width)
        {
            (new Vector<double>(b[at..]) + (Factor * new Vector<double>(c[at..]))).CopyTo(a[at..]);
        }

        for (; at < a.Length; at++)
        {
            a[at] = b[at] + (Factor * c[at]);
        }
    }

    private static double Seconds(int cores, Action<int, int> work)
    {
        int share = Values / cores;
        long start = Stopwatch.GetTimestamp();
        if (cores == 1)
        {
            work(0, Values);
        }
        else
        {
            Parallel.For(0, cores, new ParallelOptions { MaxDegreeOfParallelism = cores }, core => work(core * share, share));
        }

        return Stopwatch.GetElapsedTime(start).TotalSeconds;
    }
}
