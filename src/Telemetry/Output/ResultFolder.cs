using System.Collections.Concurrent;
using System.Collections.Immutable;

namespace Telemetry.Output;

/// <summary>A result folder that is being written and that nobody sees yet.</summary>
public sealed class ResultDraft
{
    private readonly string root;

    private readonly ConcurrentQueue<string> written = new();

    internal ResultDraft(string root) => this.root = root;

    /// <summary>Writes one file; may be called from several threads, for different files.</summary>
    /// <param name="path">Path inside the result folder, with '/' between parts ("tables/laps.csv").</param>
    /// <param name="write">Writes the content from its start.</param>
    /// <exception cref="ArgumentException">The path leaves the folder.</exception>
    /// <exception cref="IOException">The file system refuses, or the file was written before.</exception>
    public void Write(string path, Action<Stream> write)
    {
        ArgumentNullException.ThrowIfNull(write);
        string full = Path.GetFullPath(Path.Combine(root, path));
        if (!full.StartsWith(root + Path.DirectorySeparatorChar, StringComparison.Ordinal))
        {
            throw new ArgumentException($"'{path}' leaves the result folder.", nameof(path));
        }

        RequireThere(Directory.Exists(root));
        Directory.CreateDirectory(Path.GetDirectoryName(full)!);
        using FileStream stream = new(full, FileMode.CreateNew, FileAccess.Write, FileShare.None, 1 << 16);
        write(stream);
        written.Enqueue(full);
    }

    /// <summary>Writes one file whose bytes are known.</summary>
    /// <param name="path">Path inside the result folder.</param>
    /// <param name="content">Its content.</param>
    public void Write(string path, ReadOnlyMemory<byte> content) => Write(path, stream => stream.Write(content.Span));

    /// <summary>A drive that is pulled out takes the files along that were written already; what came after them is no result.</summary>
    internal void RequireWhole() => RequireThere(written.All(File.Exists));

    private static void RequireThere(bool isThere)
    {
        if (!isThere)
        {
            throw new IOException("the folder was taken away while it was written");
        }
    }
}

/// <summary>Writes a result folder whole or not at all.</summary>
public static class ResultFolder
{
    /// <summary>The file that marks a folder as a result of this program.</summary>
    public const string Mark = "summary.json";

    private static readonly ImmutableHashSet<string> OwnNames =
        ImmutableHashSet.Create(StringComparer.Ordinal, Mark, "report.html", "inspection.txt", "channels.parquet", "tables", "plots");

    private static readonly ImmutableHashSet<string> OwnEndings =
        ImmutableHashSet.Create(StringComparer.Ordinal, ".csv", ".png", ".svg");

    /// <summary>Runs all jobs on a folder beside the wanted one, then renames it into place.</summary>
    /// <remarks>
    /// The jobs run side by side and start in the order given, so the slowest belongs first. When one of them fails, the
    /// wanted folder is as it was before. A folder that is already there is replaced as a whole when it is empty or an
    /// earlier result (it has our summary and nothing that we do not write); anything else is left alone, because a
    /// person's own notes would be lost with it. Two renames replace an old folder: a power cut between them leaves
    /// the old result beside the place under a name that starts with a dot, and never a mixture.
    /// </remarks>
    /// <param name="folder">The folder to make.</param>
    /// <param name="jobs">Each writes one or more files of its own and shares no mutable state with the others.</param>
    /// <exception cref="OutputError">The folder is not ours to replace, or the file system refuses.</exception>
    public static void Write(string folder, IReadOnlyList<Action<ResultDraft>> jobs)
    {
        ArgumentException.ThrowIfNullOrEmpty(folder);
        ArgumentNullException.ThrowIfNull(jobs);
        string target = Target(folder);
        string parent = Path.GetDirectoryName(target)
            ?? throw new OutputError(folder, "The root of a file system cannot be a result folder.", "Name a folder below it.");
        RequireReplaceable(folder, target);

        string unique = DraftNames.Beside(target);
        string draft = Path.Combine(parent, $".{unique}.partial");
        try
        {
            Directory.CreateDirectory(parent);
            using FileStream held = DraftLeftovers.Lock(parent, unique);
            DraftLeftovers.Clear(target, held);
            Directory.CreateDirectory(draft);
            WriteAll(new ResultDraft(draft), jobs);
            Replace(target, draft, Path.Combine(parent, $".{unique}.before"));
        }
        catch (Exception error) when (FileSystemReason(error) is not null)
        {
            Exception reason = FileSystemReason(error)!;
            throw new OutputError(
                folder,
                $"The result could not be written ({FileSystemWords.Of(reason)}).",
                "Choose a folder that you may write to, with space left, with --out; nothing was changed.",
                reason);
        }
        finally
        {
            RemoveIfThere(draft);
        }
    }

    /// <summary>Checks before the work starts that a folder may be written, so that nobody waits for an answer that cannot be kept.</summary>
    /// <exception cref="OutputError">The folder is not ours to replace.</exception>
    public static void RequireReplaceable(string folder)
    {
        ArgumentException.ThrowIfNullOrEmpty(folder);
        RequireReplaceable(folder, Target(folder));
    }

    /// <summary>The folder itself; where it is a link, the one that it leads to, so that the link stays and the result goes where it points.</summary>
    private static string Target(string folder)
    {
        string target = Path.TrimEndingDirectorySeparator(Path.GetFullPath(folder));
        try
        {
            return new DirectoryInfo(target).ResolveLinkTarget(returnFinalTarget: true)?.FullName is { } real ? Path.TrimEndingDirectorySeparator(real) : target;
        }
        catch (Exception error) when (error is IOException or UnauthorizedAccessException)
        {
            // A link to itself, or a place that may not be looked at: making the folder says what is wrong.
            return target;
        }
    }

    private static void RequireReplaceable(string folder, string target)
    {
        if (File.Exists(target))
        {
            throw new OutputError(folder, "A file of that name is already there.", "Name another folder with --out.");
        }

        if (!Directory.Exists(target))
        {
            return;
        }

        try
        {
            RequireOurs(folder, target, Directory.GetFileSystemEntries(target));
        }
        catch (DirectoryNotFoundException)
        {
            // Another process has just put its result in this one's place: there is nothing of a person's left to look at, and the renames decide who comes last.
        }
        catch (UnauthorizedAccessException error)
        {
            throw new OutputError(folder, "The folder may not be read.", "Name another folder with --out.", error);
        }
        catch (IOException error)
        {
            throw new OutputError(folder, $"The folder cannot be read ({FileSystemWords.Of(error)}).", "Name another folder with --out.", error);
        }
    }

    private static void RequireOurs(string folder, string target, string[] entries)
    {
        if (entries.Length == 0)
        {
            return;
        }

        if (!File.Exists(Path.Combine(target, Mark)))
        {
            throw new OutputError(
                folder,
                $"The folder holds files and is no earlier result (it has no {Mark}).",
                "Name a new or an empty folder with --out; nothing was changed.");
        }

        string? foreign = FirstForeign(target, entries);
        if (foreign is not null)
        {
            throw new OutputError(
                folder,
                $"The earlier result there also holds '{foreign}', which replacing it would delete.",
                "Move that file away, or name another folder with --out; nothing was changed.");
        }
    }

    private static string? FirstForeign(string target, string[] entries)
    {
        foreach (string entry in entries.Order(StringComparer.Ordinal))
        {
            string name = Path.GetFileName(entry);
            if (!OwnNames.Contains(name))
            {
                return name;
            }

            if (Directory.Exists(entry))
            {
                string? inner = Directory.EnumerateFileSystemEntries(entry)
                    .Order(StringComparer.Ordinal)
                    .FirstOrDefault(path => Directory.Exists(path) || !OwnEndings.Contains(Path.GetExtension(path)));
                if (inner is not null)
                {
                    return Path.GetRelativePath(target, inner);
                }
            }
        }

        return null;
    }

    private static void WriteAll(ResultDraft result, IReadOnlyList<Action<ResultDraft>> jobs)
    {
        Workers.Run(jobs.Count, i => jobs[i](result));
        result.RequireWhole();
    }

    private static void Replace(string target, string draft, string before)
    {
        if (!Directory.Exists(target))
        {
            Directory.Move(draft, target);
            return;
        }

        Directory.Move(target, before);
        try
        {
            Directory.Move(draft, target);
        }
        catch
        {
            if (Directory.Exists(target))
            {
                // Another process put its result there in between: the newer of the two stays.
                RemoveIfThere(before);
            }
            else
            {
                Directory.Move(before, target);
            }

            throw;
        }

        RemoveIfThere(before);
    }

    private static void RemoveIfThere(string path)
    {
        try
        {
            if (Directory.Exists(path))
            {
                Directory.Delete(path, recursive: true);
            }
        }
        catch (Exception error) when (error is IOException or UnauthorizedAccessException)
        {
            // The result itself is complete or untouched; a left-over hidden folder must not turn that into a failure.
        }
    }

    private static Exception? FileSystemReason(Exception error) => error switch
    {
        IOException or UnauthorizedAccessException => error,
        AggregateException many => many.Flatten().InnerExceptions.Select(FileSystemReason).FirstOrDefault(reason => reason is not null),
        _ => null,
    };
}
