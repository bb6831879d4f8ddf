using System.Collections.Immutable;
using Telemetry.Cleaning;
using Telemetry.Output;

namespace Telemetry.Cli.Verbs;

/// <summary>What a person asks of 'analyse', for one log as for several.</summary>
/// <param name="Logs">Logs, or one folder of them; at least one.</param>
/// <param name="Cars">One car file for all, or one for each log.</param>
/// <param name="Folder">Folder of the results; null where none was named.</param>
/// <param name="Archive">Folder of the archive; null where none was named.</param>
/// <param name="Ledger">Life ledger; null without one.</param>
/// <param name="Zeros">Zero file; null without one.</param>
/// <param name="Date">Start of the run as stated; null for the log's own.</param>
/// <param name="AtSpeedMps">Air speed of the headline, m/s; null for the program's choice.</param>
/// <param name="Json">True to print JSON in place of the sheet.</param>
/// <param name="FailOnFinding">True to end with exit code 1 when a person must look.</param>
/// <param name="Results">What is written of each run.</param>
/// <param name="IsQuiet">True to show no progress.</param>
/// <param name="Cleaning">What is repaired.</param>
internal sealed record AnalyseRequest(
    ImmutableArray<string> Logs, ImmutableArray<string> Cars, string? Folder, string? Archive, string? Ledger, string? Zeros, DateTimeOffset? Date, double? AtSpeedMps,
    bool Json, bool FailOnFinding, ResultOptions Results, bool IsQuiet, CleaningOptions Cleaning);
