using System.Collections.Immutable;
using System.Text;

namespace Telemetry.Output.Days;

/// <summary>The files that a day's folder has beside the folders of its runs: public entry of this folder.</summary>
public static class DayResults
{
    /// <summary>Where the texts of the car files lie that the runs were analysed with.</summary>
    private const string CarFolder = "cars";

    private const int NameDigits = 16;

    /// <summary>Version of the library, as day.json and the page state it.</summary>
    public static string Version => typeof(DayResults).Assembly.GetName().Version?.ToString(3) ?? "";

    /// <summary>Checks before the work starts that a folder may hold a day: it is new, empty, or one already.</summary>
    /// <exception cref="OutputError">It holds something else, or may not be read.</exception>
    public static void RequireUsable(string folder)
    {
        ArgumentException.ThrowIfNullOrEmpty(folder);
        if (File.Exists(folder))
        {
            throw new OutputError(folder, "A file of that name is already there.", "Name another folder with --out.");
        }

        try
        {
            if (Directory.Exists(folder) && !File.Exists(Path.Combine(folder, DayFile.Name)) && Directory.EnumerateFileSystemEntries(folder).Any(entry => Path.GetFileName(entry)[0] != '.' && !IsLeftByADay(entry)))
            {
                throw new OutputError(folder, $"The folder holds files and is no earlier day (it has no {DayFile.Name}).", "Name a new or an empty folder with --out; nothing was changed.");
            }
        }
        catch (Exception error) when (error is IOException or UnauthorizedAccessException)
        {
            throw new OutputError(folder, $"The folder may not be read ({error.Message.TrimEnd('.')}).", "Name another folder with --out.", error);
        }
    }

    /// <summary>Keeps the text of a car file under its hash, once.</summary>
    /// <param name="folder">The day's folder.</param>
    /// <param name="text">The text.</param>
    /// <param name="hash">Its SHA-256 in hexadecimal digits.</param>
    /// <exception cref="OutputError">The file system refuses.</exception>
    public static void KeepCar(string folder, string text, string hash)
    {
        ArgumentNullException.ThrowIfNull(text);
        ArgumentException.ThrowIfNullOrEmpty(hash);
        string path = Path.Combine(folder, CarFolder, hash[..NameDigits] + ".toml");
        if (!File.Exists(path))
        {
            WholeFiles.Write((path, stream => stream.Write(Encoding.UTF8.GetBytes(text))));
        }
    }

    /// <summary>The text of a kept car file; null when a person took the copy away.</summary>
    /// <param name="folder">The day's folder.</param>
    /// <param name="hash">Its SHA-256 in hexadecimal digits.</param>
    public static string? CarText(string folder, string hash)
    {
        ArgumentException.ThrowIfNullOrEmpty(hash);
        try
        {
            return File.ReadAllText(Path.Combine(folder, CarFolder, hash[..NameDigits] + ".toml"));
        }
        catch (Exception error) when (error is IOException or UnauthorizedAccessException)
        {
            return null;
        }
    }

    /// <summary>A day's runs with one more: it takes the place of an earlier analysis of the same log, and of one that failed under the same name (a bad copy that was copied again).</summary>
    /// <param name="runs">The runs so far.</param>
    /// <param name="run">The run that ended.</param>
    public static ImmutableArray<DayRun> With(IEnumerable<DayRun> runs, DayRun run) =>
        [.. runs.Where(other => other.LogSha256 != run.LogSha256 && (other.IsDone || other.Log != run.Log)), run];

    /// <summary>Puts the day together from its runs and the kept car files.</summary>
    /// <param name="folder">The day's folder.</param>
    /// <param name="runs">The runs, in any order.</param>
    public static DayResult Of(string folder, IReadOnlyCollection<DayRun> runs)
    {
        ArgumentException.ThrowIfNullOrEmpty(folder);
        ArgumentNullException.ThrowIfNull(runs);
        Dictionary<string, string> texts = new(StringComparer.Ordinal);
        foreach (string hash in runs.Select(run => run.CarSha256).Where(hash => hash.Length >= NameDigits).Distinct(StringComparer.Ordinal))
        {
            if (CarText(folder, hash) is string text)
            {
                texts[hash] = text;
            }
        }

        return DayResult.From(runs, texts);
    }

    /// <summary>Writes day.json and index.html; neither takes its place before both are complete.</summary>
    /// <exception cref="OutputError">The file system refuses; the files that were there stay.</exception>
    public static void Write(DayResult day, string folder)
    {
        ArgumentNullException.ThrowIfNull(day);
        byte[] json = DayFile.ToJson(day, Version), page = DayPage.From(day, Version);
        WholeFiles.Write((Path.Combine(folder, "index.html"), stream => stream.Write(page)), (Path.Combine(folder, DayFile.Name), stream => stream.Write(json)));
    }

    /// <summary>What a day leaves that was ended before its first run was entered.</summary>
    private static bool IsLeftByADay(string entry) =>
        Path.GetFileName(entry) is CarFolder or "archive" || File.Exists(Path.Combine(entry, ResultFolder.Mark));
}
