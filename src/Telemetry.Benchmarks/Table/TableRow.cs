using Telemetry.Logs;

namespace Telemetry.Benchmarks.Table;

/// <summary>One row of the table of speed, in words.</summary>
/// <param name="Task">What is done.</param>
/// <param name="Input">On what.</param>
/// <param name="Ours">Our figure.</param>
internal sealed record TableRow(string Task, string Input, string Ours)
{
    /// <summary>The peer and its figure; "none", or why it is missing.</summary>
    public string Peer { get; init; } = "none";

    /// <summary>Peer's time over ours, so that above 1 we win; by medians, in brackets by bests. Empty without a peer.</summary>
    public string Ratio { get; init; } = "";

    /// <summary>Bytes moved at the stage's interface a second, and their share of the memory's bandwidth. Empty where bytes say nothing.</summary>
    public string Moved { get; init; } = "";

    /// <summary>What both reached.</summary>
    public string Reached { get; init; } = "";
}

/// <summary>Figures as the table shows them.</summary>
internal static class Shown
{
    private const int LargeMilliseconds = 1000;

    /// <summary>A time: median and best.</summary>
    public static string Time(Timing time) => $"{Seconds(time.MedianS)} (best {Seconds(time.BestS)})";

    /// <summary>A time with three digits.</summary>
    public static string Seconds(double seconds) => seconds * LargeMilliseconds >= LargeMilliseconds
        ? FormattableString.Invariant($"{seconds:0.00} s")
        : seconds >= 0.01 ? FormattableString.Invariant($"{seconds * LargeMilliseconds:0} ms") : FormattableString.Invariant($"{seconds * LargeMilliseconds:0.00} ms");

    /// <summary>Samples a second.</summary>
    /// <param name="time">What the samples took.</param>
    /// <param name="samples">Number of samples.</param>
    public static string Rate(Timing time, double samples) =>
        FormattableString.Invariant($"{samples / time.MedianS / 1e6:0.#} million samples/s (best {samples / time.BestS / 1e6:0.#})");

    /// <summary>The peer's time over ours.</summary>
    public static string Ratio(Timing peer, Timing ours) =>
        FormattableString.Invariant($"{peer.MedianS / ours.MedianS:0.##} ({peer.BestS / ours.BestS:0.##})");
}

/// <summary>The memory's bandwidth, against which what a stage moves is held.</summary>
/// <param name="OneCore">Bytes a second of one core.</param>
/// <param name="AllCores">Bytes a second of all cores together.</param>
/// <param name="Cores">Number of cores.</param>
internal sealed record Roofline(double OneCore, double AllCores, int Cores)
{
    /// <summary>Measures.</summary>
    public static Roofline Measure()
    {
        double one = MemoryBandwidth.BytesPerSecond(1);
        // All cores can do no less than one of them alone; a busy machine may measure less.
        return new(one, Math.Max(one, MemoryBandwidth.BytesPerSecond(Environment.ProcessorCount)), Environment.ProcessorCount);
    }

    /// <summary>Bytes of a log's channels as doubles.</summary>
    public static double BytesOf(RunLog log) => sizeof(double) * (double)log.Channels.Sum(channel => (long)channel.Samples.Length);

    /// <summary>Bytes a second in words.</summary>
    /// <param name="bytes">Read and written at the interface of the stage.</param>
    /// <param name="time">What they took.</param>
    /// <param name="oneCore">True when the stage runs on one core.</param>
    public string Moved(double bytes, Timing time, bool oneCore = false) =>
        FormattableString.Invariant($"{bytes / time.MedianS / 1e9:0.00} GB/s, {100 * bytes / time.MedianS / (oneCore ? OneCore : AllCores):0.#} %");
}
