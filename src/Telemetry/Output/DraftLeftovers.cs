namespace Telemetry.Output;

/// <summary>What a process that was killed while it wrote a result folder left beside it: found by its lock file, which the system frees with the process.</summary>
/// <remarks>
/// A draft's lock stands beside it (.NAME.ID.lock), is held as long as the draft is written and goes with it. One that nobody holds belongs to a process that is gone. On a disk
/// of another machine locks may not be told on, so a lock counts as left only when it is also an hour older, by that disk's own clock, than one that is made now.
/// </remarks>
internal static class DraftLeftovers
{
    /// <summary>Length of what tells one draft from another.</summary>
    private const int IdLength = 32;

    private static readonly TimeSpan LongestWriting = TimeSpan.FromHours(1);

    /// <summary>Takes the lock of a draft.</summary>
    /// <param name="parent">The folder that the draft stands in.</param>
    /// <param name="unique">The draft's name without its ending (<see cref="DraftNames"/>).</param>
    /// <returns>To be disposed of when the draft has taken its place or is gone.</returns>
    public static FileStream Lock(string parent, string unique) =>
        new(Path.Combine(parent, $".{unique}.lock"), FileMode.CreateNew, FileAccess.ReadWrite, FileShare.None, 1, FileOptions.DeleteOnClose);

    /// <summary>Takes away what was left of earlier writings of a folder; an earlier result that was moved aside comes back where nothing has taken its place.</summary>
    /// <param name="target">The folder.</param>
    /// <param name="now">The lock of this writing.</param>
    public static void Clear(string target, FileStream now)
    {
        string parent = Path.GetDirectoryName(target)!;
        string begin = DraftNames.Beginning(target);
        try
        {
            DateTime latest = File.GetLastWriteTimeUtc(now.Name) - LongestWriting;
            foreach (string path in Directory.EnumerateFiles(parent, $".{begin}*.lock").Order(StringComparer.Ordinal))
            {
                string unique = Path.GetFileNameWithoutExtension(path)[1..];
                if (unique.Length == begin.Length + IdLength && File.GetLastWriteTimeUtc(path) < latest && IsFree(path))
                {
                    Remove(target, Path.Combine(parent, "." + unique), isOfTarget: begin == Path.GetFileName(target) + ".");
                    File.Delete(path);
                }
            }
        }
        catch (Exception error) when (error is IOException or UnauthorizedAccessException)
        {
            // What cannot be cleared is no reason not to write.
        }
    }

    private static void Remove(string target, string start, bool isOfTarget)
    {
        if (Directory.Exists(start + ".partial"))
        {
            Directory.Delete(start + ".partial", recursive: true);
        }

        if (!isOfTarget || !Directory.Exists(start + ".before"))
        {
            return;
        }

        if (Directory.Exists(target))
        {
            Directory.Delete(start + ".before", recursive: true);
        }
        else
        {
            Directory.Move(start + ".before", target);
        }
    }

    private static bool IsFree(string path)
    {
        try
        {
            using FileStream held = new(path, FileMode.Open, FileAccess.ReadWrite, FileShare.None);
            return true;
        }
        catch (IOException)
        {
            return false;
        }
    }
}
