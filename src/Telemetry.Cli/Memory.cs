namespace Telemetry.Cli;

/// <summary>Keeps the peak of memory low on a laptop that has other things to do.</summary>
internal static class Memory
{
    /// <summary>
    /// Gives back what the step before has left behind. Channels are long arrays without references, so a collection takes
    /// milliseconds; left to itself the collector waits until the peak has doubled.
    /// </summary>
    public static void GiveBack() => GC.Collect(GC.MaxGeneration, GCCollectionMode.Forced, blocking: true);
}
