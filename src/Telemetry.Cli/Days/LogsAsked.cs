using System.Security.Cryptography;
using Telemetry.Car;
using Telemetry.Logs;
using Telemetry.Runs;

namespace Telemetry.Cli.Days;

/// <summary>Turns what a person names into logs in order of start.</summary>
internal static class LogsAsked
{
    private static readonly string[] Endings = [".csv", ".txt", ".tsv", ".dat", ".parquet"];

    /// <summary>True for a file that can be a log by its name: a known ending, packed or not, and not hidden.</summary>
    public static bool IsLogName(string path)
    {
        string name = Path.GetFileName(path);
        string bare = name.EndsWith(".gz", StringComparison.OrdinalIgnoreCase) ? name[..^3] : name;
        return name[0] != '.' && Endings.Any(ending => bare.Length > ending.Length && bare.EndsWith(ending, StringComparison.OrdinalIgnoreCase));
    }

    /// <summary>The logs in a folder, not in folders below it, by name.</summary>
    public static string[] In(string folder) => [.. Directory.EnumerateFiles(folder).Where(IsLogName).Order(StringComparer.Ordinal)];

    /// <summary>Files and folders as logs, in order of start.</summary>
    /// <param name="paths">Logs and folders of logs.</param>
    /// <param name="cars">One car file for all, or one for each path.</param>
    /// <exception cref="UsageError">The car files do not fit the logs.</exception>
    /// <exception cref="InputError">A path is not there, or a folder holds no log.</exception>
    public static List<LogToDo> Of(IReadOnlyList<string> paths, IReadOnlyList<string> cars)
    {
        if (cars.Count > 1 && cars.Count != paths.Count)
        {
            throw new UsageError($"{cars.Count} car files are given for {paths.Count} logs. Give one --car for all logs, or one for each in their order.");
        }

        List<InputFault> faults = [];
        List<(string Path, string Car)> logs = [];
        for (int i = 0; i < paths.Count; i++)
        {
            string[] found = Directory.Exists(paths[i]) ? In(paths[i]) : [paths[i]];
            if (found.Length == 0)
            {
                faults.Add(new(paths[i], $"The folder holds no log ({string.Join(", ", Endings)}, plain or .gz).", "Name the folder that the logs lie in; folders below it are not searched."));
            }

            faults.AddRange(found.Where(path => !File.Exists(path)).Select(path => new InputFault(path, "There is no such file.", "Check the name and the folder.")));
            logs.AddRange(found.Select(path => (path, cars[Math.Min(i, cars.Count - 1)])));
        }

        if (faults.Count > 0)
        {
            throw new InputError(faults);
        }

        // Loggers that call every file 'log' put each run into a folder of its own, which then tells them apart.
        string[] names = [.. logs.Select(log => NameOf(log.Path))], parents = [.. logs.Select(log => Path.GetFileName(Path.GetDirectoryName(Path.GetFullPath(log.Path))) ?? "")];
        bool areApart = parents.Distinct(StringComparer.OrdinalIgnoreCase).Count() == parents.Length;
        LogToDo[] looked = new LogToDo[logs.Count];
        Parallel.For(0, looked.Length, new ParallelOptions { MaxDegreeOfParallelism = Environment.ProcessorCount }, i =>
        {
            bool isShared = names.Count(name => name.Equals(names[i], StringComparison.OrdinalIgnoreCase)) > 1;
            looked[i] = Look(logs[i].Path, logs[i].Car, !isShared ? null : areApart ? parents[i] : $"{parents[i]}-{names[i]}");
        });
        return InOrder(looked);
    }

    /// <summary>In order of start, then of name, then of content.</summary>
    public static List<LogToDo> InOrder(IEnumerable<LogToDo> logs) =>
        [.. logs.OrderBy(log => log.PlacedAtUtc).ThenBy(log => Path.GetFileName(log.Path), StringComparer.Ordinal).ThenBy(log => log.Hash, StringComparer.Ordinal)];

    /// <summary>Looks at a log: content hash, start, size.</summary>
    public static LogToDo Look(string path, string carPath, string? runName = null)
    {
        LogOptions options = LogOptions.Default;
        try
        {
            CarDefinition car = CarFile.Read(carPath);
            options = RunAssembly.ReadingFor(car);
        }
        catch (InputError)
        {
            // Told when the run is analysed; until then the log is looked at as any reader would.
        }

        LogGlance glance = LogGlance.Of(path, options);
        return new(
            path, HashOf(path), glance.StartedAtUtc ?? new DateTimeOffset(File.GetLastWriteTimeUtc(path)), glance.StartedAtUtc is null, glance.Numbers, carPath, runName ?? NameOf(path));
    }

    private static string HashOf(string path)
    {
        try
        {
            using FileStream stream = new(path, FileMode.Open, FileAccess.Read, FileShare.ReadWrite | FileShare.Delete, 1 << 20);
            return Convert.ToHexStringLower(SHA256.HashData(stream));
        }
        catch (Exception error) when (error is IOException or UnauthorizedAccessException)
        {
            throw new InputError(path, $"The file cannot be read ({error.Message.TrimEnd('.')}).", "Check the disk and the rights on the file, then read it again.");
        }
    }

    private static string NameOf(string path)
    {
        string name = Path.GetFileName(path);
        foreach (string ending in (string[])[".gz", .. Endings])
        {
            if (name.Length > ending.Length && name.EndsWith(ending, StringComparison.OrdinalIgnoreCase))
            {
                name = name[..^ending.Length];
            }
        }

        return name;
    }
}
