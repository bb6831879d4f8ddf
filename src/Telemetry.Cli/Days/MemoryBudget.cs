namespace Telemetry.Cli.Days;

/// <summary>How many runs are analysed at a time: as many as there are processors for and as their memory allows.</summary>
internal static class MemoryBudget
{
    /// <summary>What a run needs besides its numbers: code, fonts, pictures.</summary>
    private const long FixedBytes = 160L << 20;

    /// <summary>Bytes at the peak for each number that is read: samples in double precision, loads, travels and modes formed from them, and a picture's working copies.</summary>
    /// <remarks>Two logs of 900 001 rows and 21 columns side by side peaked at 1.74 GB, so 38 for each number; one alone at 0.76 GB. The rest is margin.</remarks>
    private const long BytesPerNumber = 45;

    /// <summary>What a log of so many numbers needs, bytes.</summary>
    public static long NeedOf(long numbers) => FixedBytes + (BytesPerNumber * numbers);

    /// <summary>Half of the memory that is free now, bytes: the other half stays with whatever else the machine does.</summary>
    public static long OfMachine()
    {
        GCMemoryInfo memory = GC.GetGCMemoryInfo(GCKind.Any);
        if (memory.TotalAvailableMemoryBytes <= 0 || memory.MemoryLoadBytes <= 0)
        {
            Memory.GiveBack();
            memory = GC.GetGCMemoryInfo(GCKind.Any);
        }

        return Math.Max(0, memory.TotalAvailableMemoryBytes - memory.MemoryLoadBytes) / 2;
    }

    /// <summary>May another run start? One alone always may: it would not become smaller by waiting.</summary>
    /// <param name="need">Its need, bytes.</param>
    /// <param name="running">Needs of the runs that are being analysed.</param>
    /// <param name="budget">What all may have together, bytes.</param>
    /// <param name="atATime">Most runs at a time.</param>
    public static bool MayStart(long need, IReadOnlyCollection<long> running, long budget, int atATime) =>
        running.Count == 0 || (running.Count < atATime && need <= budget - running.Sum());
}
