using System.Collections.Immutable;
using Telemetry.Logs;

namespace Telemetry.Tests.Health;

/// <summary>Puts one fault of a stated size into a log: what a sensor, a cable or a logger does to a signal that was right. Values are in the channel's own logged unit.</summary>
/// <remarks>Each function leaves the given log as it is. Places come from the seed, so that a run can be faulted in many ways.</remarks>
internal static class InjectedFaults
{
    /// <summary>The same log with one channel's samples changed by a function that gets a copy of them and its rate.</summary>
    public static RunLog Change(RunLog log, string channel, Action<double[], double> change) => Replace(log, channel, logged =>
    {
        double[] samples = [.. logged.Samples];
        change(samples, logged.Time.RateHz);
        return logged with { Samples = Frozen(samples) };
    });

    /// <summary>A channel without any number.</summary>
    public static RunLog Dead(RunLog log, string channel) => Change(log, channel, (x, _) => Array.Fill(x, double.NaN));

    /// <summary>The reading at a time stays for a while.</summary>
    public static RunLog Stuck(RunLog log, string channel, double fromS, double lengthS) =>
        Change(log, channel, (x, rate) => Hold(x, (int)(fromS * rate), (int)Math.Round(lengthS * rate)));

    /// <summary>Readings stop at a lower and an upper value.</summary>
    public static RunLog Clipped(RunLog log, string channel, double low, double high) =>
        Change(log, channel, (x, _) => Each(x, value => Math.Clamp(value, low, high)));

    /// <summary>An amplifier that saturates softly: true up to the knee, then towards the limit as 1 - exp(-excess), in steps of the given size.</summary>
    public static RunLog SoftlyClipped(RunLog log, string channel, double knee, double limit, double step) => Change(log, channel, (x, _) => Each(x, value =>
        value <= knee ? value : Rounded(knee + ((limit - knee) * (1 - Math.Exp(-(value - knee) / (limit - knee)))), step)));

    /// <summary>Single samples, or a few in a row, thrown to one side by a size (its sign at random).</summary>
    public static RunLog Spikes(RunLog log, string channel, int count, double size, int width, int seed) => Change(log, channel, (x, _) =>
    {
        Random random = new(seed);
        foreach (int at in Places(random, x, count, width + 4))
        {
            double jump = random.Next(2) == 0 ? size : -size;
            for (int i = at; i < at + width; i++)
            {
                x[i] += jump;
            }
        }
    });

    /// <summary>Stretches without a number.</summary>
    public static RunLog Gaps(RunLog log, string channel, int count, double lengthS, int seed) => DropsTo(log, channel, double.NaN, count, lengthS, seed);

    /// <summary>Stretches in which the reading falls to a fixed value, such as 0 or an end of the range.</summary>
    public static RunLog DropsTo(RunLog log, string channel, double value, int count, double lengthS, int seed) => Change(log, channel, (x, rate) =>
    {
        int length = Math.Max(1, (int)Math.Round(lengthS * rate));
        foreach (int at in Places(new Random(seed), x, count, length + 4))
        {
            x.AsSpan(at, length).Fill(value);
        }
    });

    /// <summary>Stretches in which the logger repeats the last value it had.</summary>
    public static RunLog Holds(RunLog log, string channel, int count, double lengthS, int seed) => Change(log, channel, (x, rate) =>
    {
        int length = Math.Max(1, (int)Math.Round(lengthS * rate));
        foreach (int at in Places(new Random(seed), x, count, length + 4))
        {
            Hold(x, at, length);
        }
    });

    /// <summary>A slower reading written at the channel's rate: each value is repeated so many times.</summary>
    public static RunLog SlowReading(RunLog log, string channel, int every) => Change(log, channel, (x, _) =>
    {
        for (int i = 0; i < x.Length; i++)
        {
            x[i] = x[i - (i % every)];
        }
    });

    /// <summary>Readings in steps of a size.</summary>
    public static RunLog Coarse(RunLog log, string channel, double step) => Change(log, channel, (x, _) => Each(x, value => Rounded(value, step)));

    /// <summary>White noise of a standard deviation, in steps of the given size.</summary>
    public static RunLog Noise(RunLog log, string channel, double deviation, double step, int seed) => Change(log, channel, (x, _) =>
    {
        Random random = new(seed);
        Each(x, value => Rounded(value + (deviation * Normal(random)), step));
    });

    /// <summary>
    /// Vibration above the Nyquist frequency that a missing filter lets in: a band of random frequencies just above it, where only the fold-back is seen,
    /// between two times.
    /// </summary>
    /// <param name="log">The log.</param>
    /// <param name="channel">Name of the channel.</param>
    /// <param name="deviation">Standard deviation of the vibration.</param>
    /// <param name="fromS">Start of the vibration.</param>
    /// <param name="toS">Its end.</param>
    /// <param name="step">Step of the recorded numbers.</param>
    /// <param name="seed">Where the random numbers start.</param>
    public static RunLog Aliased(RunLog log, string channel, double deviation, double fromS, double toS, double step, int seed) => Change(log, channel, (x, rate) =>
    {
        // Forty tones between 1.0 and 1.25 times the Nyquist frequency fold back to 0.75 to 1.0 times it.
        const int tones = 40;
        Random random = new(seed);
        double[] hz = new double[tones];
        double[] phase = new double[tones];
        for (int k = 0; k < tones; k++)
        {
            hz[k] = rate / 2 * (1.005 + (0.245 * random.NextDouble()));
            phase[k] = 2 * Math.PI * random.NextDouble();
        }

        double amplitude = deviation * Math.Sqrt(2.0 / tones);
        for (int i = (int)(fromS * rate); i < Math.Min(x.Length, toS * rate); i++)
        {
            double sum = 0;
            for (int k = 0; k < tones; k++)
            {
                sum += Math.Sin((2 * Math.PI * hz[k] * i / rate) + phase[k]);
            }

            x[i] = Rounded(x[i] + (amplitude * sum), step);
        }
    });

    /// <summary>A low-pass of second order (Butterworth by the bilinear rule) in the logger, in steps of the given size.</summary>
    public static RunLog LowPassed(RunLog log, string channel, double cutOffHz, double step) => Change(log, channel, (x, rate) =>
    {
        double k = Math.Tan(Math.PI * cutOffHz / rate);
        double norm = 1 / (1 + (Math.Sqrt(2) * k) + (k * k));
        double b0 = k * k * norm;
        double a1 = 2 * ((k * k) - 1) * norm;
        double a2 = (1 - (Math.Sqrt(2) * k) + (k * k)) * norm;
        double s1 = x[0] * (1 - b0);
        double s2 = x[0] * (b0 - a2);
        for (int i = 0; i < x.Length; i++)
        {
            double y = (b0 * x[i]) + s1;
            s1 = (2 * b0 * x[i]) - (a1 * y) + s2;
            s2 = (b0 * x[i]) - (a2 * y);
            x[i] = Rounded(y, step);
        }
    });

    /// <summary>Time stamps of every channel of one rate scatter about their grid: normal, cut at 0.45 steps.</summary>
    public static RunLog Jittered(RunLog log, double rateHz, double deviationS, int seed)
    {
        Dictionary<int, TimeBase> made = [];
        return log with
        {
            Channels = [.. log.Channels.Select(logged => Math.Abs(logged.Time.RateHz - rateHz) > 1e-6 * rateHz ? logged : logged with { Time = Jitter(logged.Time) })],
        };

        TimeBase Jitter(TimeBase time)
        {
            if (!made.TryGetValue(time.Count, out TimeBase? uneven))
            {
                Random random = new(seed);
                double most = 0.45 * time.StepS;
                made[time.Count] = uneven = TimeBase.Uneven([.. Enumerable.Range(0, time.Count).Select(i => time.At(i) + Math.Clamp(deviationS * Normal(random), -most, most))]);
            }

            return uneven;
        }
    }

    /// <summary>A channel's clock runs fast by a share: what it shows at t really happened at t (1 - share), still on its nominal grid.</summary>
    public static RunLog Drifting(RunLog log, string channel, double share) => Change(log, channel, (x, _) =>
    {
        double[] from = [.. x];
        for (int i = 0; i < x.Length; i++)
        {
            double place = Math.Clamp(i * (1 - share), 0, x.Length - 1);
            int left = Math.Min((int)place, x.Length - 2);
            x[i] = from[left] + ((place - left) * (from[left + 1] - from[left]));
        }
    });

    /// <summary>A block of samples of every channel is written twice; what followed moves back, and the end is lost.</summary>
    public static RunLog RepeatedBlock(RunLog log, double fromS, double lengthS) => log with
    {
        Channels = [.. log.Channels.Select(logged => Repeat(logged, fromS, lengthS))],
    };

    /// <summary>The same in one channel only.</summary>
    public static RunLog RepeatedBlock(RunLog log, string channel, double fromS, double lengthS) => Replace(log, channel, logged => Repeat(logged, fromS, lengthS));

    /// <summary>A potentiometer that cannot read past a travel: there it shows the end and its noise.</summary>
    public static RunLog Pinned(RunLog log, string channel, double highest, double noise, double step, int seed) => Change(log, channel, (x, _) =>
    {
        Random random = new(seed);
        Each(x, value => value <= highest ? value : Rounded(highest + (noise * Normal(random)), step));
    });

    /// <summary>Two channels change places (their names stay).</summary>
    public static RunLog Swapped(RunLog log, string one, string other)
    {
        LoggedChannel first = log.Find(one)!;
        LoggedChannel second = log.Find(other)!;
        return Replace(Replace(log, one, _ => second with { Name = one }), other, _ => first with { Name = other });
    }

    /// <summary>A channel with the opposite sign.</summary>
    public static RunLog Reversed(RunLog log, string channel) => Scaled(log, channel, -1);

    /// <summary>A channel times a factor: a wrong unit or gain.</summary>
    public static RunLog Scaled(RunLog log, string channel, double factor) => Change(log, channel, (x, _) => Each(x, value => factor * value));

    /// <summary>A channel with an offset.</summary>
    public static RunLog Shifted(RunLog log, string channel, double offset) => Change(log, channel, (x, _) => Each(x, value => value + offset));

    /// <summary>A log that ends early, as a logger without power leaves it: every channel keeps the samples before the time.</summary>
    public static RunLog CutOff(RunLog log, double atS) => Cut(log, double.NegativeInfinity, atS);

    /// <summary>Only the samples from a time to another, at their own times.</summary>
    public static RunLog Cut(RunLog log, double fromS, double toS)
    {
        return log with { Channels = [.. log.Channels.Select(Shortened)] };

        LoggedChannel Shortened(LoggedChannel logged)
        {
            int first = 0;
            while (first < logged.Time.Count && logged.Time.At(first) < fromS)
            {
                first++;
            }

            int end = first;
            while (end < logged.Time.Count && logged.Time.At(end) < toS)
            {
                end++;
            }

            TimeBase time = logged.Time.IsEven
                ? TimeBase.Even(logged.Time.StartS + (first * logged.Time.StepS), logged.Time.StepS, end - first)
                : TimeBase.Uneven([.. logged.Time.TimesS.AsSpan()[first..end]]);
            return logged with { Time = time, Samples = [.. logged.Samples.Between(first, end)] };
        }
    }

    /// <summary>A normal random number.</summary>
    public static double Normal(Random random) =>
        Math.Sqrt(-2 * Math.Log(1 - random.NextDouble())) * Math.Cos(2 * Math.PI * random.NextDouble());

    private static RunLog Replace(RunLog log, string channel, Func<LoggedChannel, LoggedChannel> change)
    {
        Assert.NotNull(log.Find(channel));
        return log with { Channels = [.. log.Channels.Select(logged => logged.Name == channel ? change(logged) : logged)] };
    }

    private static LoggedChannel Repeat(LoggedChannel logged, double fromS, double lengthS)
    {
        double[] x = [.. logged.Samples];
        int length = (int)Math.Round(lengthS * logged.Time.RateHz);
        int from = (int)Math.Round(fromS * logged.Time.RateHz);
        if (length > 0 && from + length < x.Length)
        {
            x.AsSpan(from, x.Length - from - length).CopyTo(x.AsSpan(from + length));
        }

        return logged with { Samples = Frozen(x) };
    }

    private static void Hold(double[] x, int from, int length)
    {
        for (int i = from + 1; i <= Math.Min(x.Length - 1, from + length); i++)
        {
            x[i] = x[from];
        }
    }

    private static void Each(double[] x, Func<double, double> change)
    {
        for (int i = 0; i < x.Length; i++)
        {
            x[i] = change(x[i]);
        }
    }

    private static double Rounded(double value, double step) => step > 0 ? Math.Round(value / step) * step : value;

    /// <summary>Places inside the middle of the run, apart from each other.</summary>
    private static int[] Places(Random random, double[] x, int count, int apart)
    {
        int from = x.Length / 5;
        int room = ((x.Length * 4 / 5) - from) / Math.Max(1, count);
        int[] places = new int[count];
        for (int k = 0; k < count; k++)
        {
            places[k] = from + (k * room) + random.Next(Math.Max(1, room - apart));
        }

        return places;
    }

    private static SampleSource Frozen(double[] samples) =>
        [.. samples];
}
