using Telemetry.Output;
using Telemetry.Output.Archive;
using Telemetry.Review;

namespace Telemetry.Cli;

/// <summary>Where a run's results go.</summary>
/// <param name="Folder">The result folder.</param>
/// <param name="Results">What is written.</param>
/// <param name="Archive">Folder of the archive; null without one.</param>
/// <param name="ArchivedAs">Name of the run in the archive.</param>
internal sealed record KeptPlaces(string Folder, ResultOptions Results, string? Archive, string ArchivedAs);

/// <summary>Keeps what was found of a run: results, archive, ledger, zero file, in this order.</summary>
internal static class KeptRun
{
    /// <summary>Writes it all.</summary>
    /// <param name="pipeline">The stages.</param>
    /// <param name="review">The review.</param>
    /// <param name="request">What was asked, with the log's hash where an archive, ledger or zero file is kept.</param>
    /// <param name="places">Where it goes.</param>
    /// <param name="step">Told of each step that begins.</param>
    /// <returns>What a person has to know of the ledger; null for nothing.</returns>
    public static string? Write(Pipeline pipeline, RunReview review, ReviewRequest request, KeptPlaces places, Action<string> step)
    {
        step("writing results");
        Memory.GiveBackBetweenSteps();
        pipeline.WriteResults(review, places.Folder, places.Results);
        if (places.Archive is not null)
        {
            ResultArchive.Put(review, request.LogHash!, places.ArchivedAs, places.Archive);
        }

        string? told = null;
        if (request.LedgerPath is not null)
        {
            step("keeping the ledger");
            told = pipeline.KeepLife(review, request);
        }

        if (request.ZerosPath is not null)
        {
            step("keeping the zero file");
            pipeline.KeepZeros(review, request);
        }

        return told;
    }
}
