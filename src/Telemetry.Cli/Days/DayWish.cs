using Telemetry.Cleaning;
using Telemetry.Output;

namespace Telemetry.Cli.Days;

/// <summary>What a person asks for all runs of a day.</summary>
/// <param name="Folder">The day's folder.</param>
/// <param name="Archive">The archive's folder.</param>
/// <param name="AtSpeedMps">Reference speed, m/s, or null.</param>
/// <param name="Ledger">The life ledger, or null.</param>
/// <param name="Zeros">The zero file, or null.</param>
/// <param name="Cleaning">What is repaired.</param>
/// <param name="Results">What is written of each run.</param>
internal sealed record DayWish(string Folder, string Archive, double? AtSpeedMps, string? Ledger, string? Zeros, CleaningOptions Cleaning, ResultOptions Results)
{
    /// <summary>A run needs what the run before it left in the ledger or in the zero file, so runs go one after the other.</summary>
    public bool IsInTurn => Ledger is not null || Zeros is not null;

    /// <summary>Where the archive lies when nobody says.</summary>
    public static string ArchiveIn(string folder) => Path.Combine(folder, "archive");
}

/// <summary>A log that is to be analysed.</summary>
/// <param name="Path">Its file.</param>
/// <param name="Hash">SHA-256 of its bytes when it was looked at.</param>
/// <param name="PlacedAtUtc">Start of the run; where the log does not say, the file's time stamp.</param>
/// <param name="IsPlacedByFile">True for the time stamp.</param>
/// <param name="Numbers">About how many numbers it holds.</param>
/// <param name="CarPath">Its car file.</param>
/// <param name="RunName">What its folder is to be called where nobody has that name.</param>
internal sealed record LogToDo(string Path, string Hash, DateTimeOffset PlacedAtUtc, bool IsPlacedByFile, long Numbers, string CarPath, string RunName);

/// <summary>The file has other bytes than those that were looked at: it is still being written.</summary>
internal sealed class LogMovedOn(string path) : Exception($"{System.IO.Path.GetFileName(path)}: The file changed while it was read. Wait until it is copied, then analyse it again.");
