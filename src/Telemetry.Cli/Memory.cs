using System.Runtime.CompilerServices;

namespace Telemetry.Cli;

/// <summary>Keeps the peak of memory low on a laptop that has other things to do.</summary>
internal static class Memory
{
    /// <summary>
    /// Gives back what the step before has left behind. Channels are long arrays without references, so a collection takes
    /// milliseconds; left to itself the collector waits until the peak has doubled.
    /// </summary>
    public static void GiveBack() => GC.Collect(GC.MaxGeneration, GCCollectionMode.Forced, blocking: true);

    /// <summary>
    /// The same between the steps of one run, on the .NET runtime: it lets tens of megabytes of small objects gather before it collects. The native form is made
    /// to collect often (see the project file) and has little left behind; going through all of it three times would only stop every processor.
    /// </summary>
    public static void GiveBackBetweenSteps()
    {
        if (RuntimeFeature.IsDynamicCodeSupported)
        {
            GiveBack();
        }
    }
}
