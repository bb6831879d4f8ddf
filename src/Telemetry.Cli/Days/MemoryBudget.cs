using System.Globalization;
using Telemetry.Logs;

namespace Telemetry.Cli.Days;

/// <summary>How many runs are analysed at a time: as many as there are processors for and as their memory allows.</summary>
internal static class MemoryBudget
{
    /// <summary>What a run needs besides its numbers: code, fonts, pictures.</summary>
    private const long FixedBytes = 160L << 20;

    /// <summary>Bytes at the peak for each number that is read: packed samples, the cycles counted in them, and working copies.</summary>
    /// <remarks>
    /// Two logs of 900 001 rows and 21 columns side by side peaked at 0.50 GB, so 9 for each number beside what is fixed; one alone at 0.32 GB, so 8. Numbers that do not pack, as
    /// binary formats hold them, take 6 more. The rest is margin.
    /// </remarks>
    private const long BytesPerNumber = 18;

    /// <summary>Less than a run alone was ever seen to need for each number: an hour of 21 columns at 1 kHz, eight of them blank in nine rows of ten, peaked at 0.66 GB, so 7.</summary>
    private const long LeastBytesPerNumber = 6;

    /// <summary>Logs below this are not looked at beforehand.</summary>
    private const long LargeFileBytes = 1L << 30;

    /// <summary>Refuses a log that cannot fit before minutes are spent on it, or the system ends the program without a word.</summary>
    /// <param name="path">The log.</param>
    /// <param name="options">How it will be read.</param>
    /// <exception cref="InputError">It needs more memory than there is.</exception>
    public static void RequireFits(string path, LogOptions options)
    {
        if (new FileInfo(path) is { Exists: true, Length: > LargeFileBytes } && WhyTooLarge(LogGlance.Of(path, options).Numbers, OfWholeMachine()) is { } why)
        {
            throw new InputError(Path.GetFileName(path), why, "Cut it into its runs first ('pushrod cut' does, in little memory) and analyse those together, or use a larger machine.");
        }
    }

    /// <summary>Why a log of so many numbers does not fit into so much memory, as one sentence; null when it may.</summary>
    internal static string? WhyTooLarge(long numbers, long memoryBytes)
    {
        long least = FixedBytes + (LeastBytesPerNumber * numbers);
        return least <= memoryBytes
            ? null
            : string.Create(CultureInfo.InvariantCulture, $"The log holds about {numbers / 1e6:0} million numbers, whose analysis takes at least {least / 1e9:0.0} GB of memory; this machine gives {memoryBytes / 1e9:0.0} GB.");
    }

    /// <summary>What a log of so many numbers needs, bytes.</summary>
    public static long NeedOf(long numbers) => FixedBytes + (BytesPerNumber * numbers);

    /// <summary>Half of the memory that is free now, bytes: the other half stays with whatever else the machine does.</summary>
    public static long OfMachine()
    {
        GCMemoryInfo memory = Known();
        return Math.Max(0, memory.TotalAvailableMemoryBytes - memory.MemoryLoadBytes) / 2;
    }

    private static long OfWholeMachine() => Known() is { TotalAvailableMemoryBytes: > 0 } memory ? memory.TotalAvailableMemoryBytes : long.MaxValue;

    private static GCMemoryInfo Known()
    {
        GCMemoryInfo memory = GC.GetGCMemoryInfo(GCKind.Any);
        if (memory.TotalAvailableMemoryBytes <= 0 || memory.MemoryLoadBytes <= 0)
        {
            Memory.GiveBack();
            memory = GC.GetGCMemoryInfo(GCKind.Any);
        }

        return memory;
    }

    /// <summary>May another run start? One alone always may: it would not become smaller by waiting.</summary>
    /// <param name="need">Its need, bytes.</param>
    /// <param name="running">Needs of the runs that are being analysed.</param>
    /// <param name="budget">What all may have together, bytes.</param>
    /// <param name="atATime">Most runs at a time.</param>
    public static bool MayStart(long need, IReadOnlyCollection<long> running, long budget, int atATime) =>
        running.Count == 0 || (running.Count < atATime && need <= budget - running.Sum());
}
