namespace Telemetry.Cli.Watching;

/// <summary>The system's word that something happened in a folder. A hint and no more: network shares lose events, so the polls do not depend on it.</summary>
internal sealed class WatchHint : IDisposable
{
    private readonly AutoResetEvent came = new(false);
    private readonly FileSystemWatcher? watcher;

    public WatchHint(string folder)
    {
        try
        {
            watcher = new(folder);
            watcher.Created += (_, _) => came.Set();
            watcher.Changed += (_, _) => came.Set();
            watcher.Renamed += (_, _) => came.Set();
            watcher.EnableRaisingEvents = true;
        }
        catch (Exception error) when (error is IOException or ArgumentException or PlatformNotSupportedException or UnauthorizedAccessException)
        {
            // No more watches, or a file system without them: the polls do.
            watcher?.Dispose();
            watcher = null;
        }
    }

    /// <summary>Waits for a time; less when told to stop or, if it is heeded, when something happened.</summary>
    public void Wait(TimeSpan time, bool heedHint, CancellationToken stop) =>
        WaitHandle.WaitAny(heedHint ? [stop.WaitHandle, came] : [stop.WaitHandle], time);

    public void Dispose()
    {
        watcher?.Dispose();
        came.Dispose();
    }
}
