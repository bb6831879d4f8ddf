using Telemetry.Output.Plots;
using Telemetry.Output.Report;
using Telemetry.Output.Tables;
using Telemetry.Review;

namespace Telemetry.Output;

/// <summary>What is written of a review.</summary>
public sealed record ResultOptions
{
    /// <summary>Everything.</summary>
    public static ResultOptions Default { get; } = new();

    /// <summary>Plots as files and in the report. Default: true; they take most of the writing time.</summary>
    public bool WithPlots { get; init; } = true;
}

/// <summary>Writes a review as a result folder: public entry of the outputs.</summary>
/// <remarks>
/// summary.json, tables/*.csv, plots/*.png and *.svg, channels.parquet, report.html. The files are written side by side;
/// each depends on the review alone, so the same review gives the same bytes.
/// </remarks>
public static class ReviewResults
{
    /// <summary>Writes a review, whole or not at all.</summary>
    /// <param name="review">The review.</param>
    /// <param name="folder">The folder to make, or an earlier result to replace.</param>
    /// <param name="options">What to write.</param>
    /// <exception cref="OutputError">The folder is not ours to replace, or the file system refuses.</exception>
    public static void Write(RunReview review, string folder, ResultOptions? options = null)
    {
        ArgumentNullException.ThrowIfNull(review);
        options ??= ResultOptions.Default;
        ResultFolder.Write(folder,
        [
            draft => draft.Write("channels.parquet", stream => ProcessedChannels.Write(review, stream)),
            draft => WritePictures(review, draft, options.WithPlots),
            draft => WriteTables(review, draft),
            draft => draft.Write(ResultFolder.Mark, SummaryFile.ToJson(SummaryFile.From(review))),
        ]);
    }

    private static void WritePictures(RunReview review, ResultDraft draft, bool withPlots)
    {
        List<ReportPicture> pictures = [];
        if (withPlots)
        {
            foreach (PlotFile plot in PlotSet.Draw(review).Files)
            {
                pictures.Add(new(plot.Name, plot.Title, plot.Description, plot.Png.AsMemory()));
                draft.Write($"plots/{plot.Name}.png", plot.Png.AsMemory());
                draft.Write($"plots/{plot.Name}.svg", plot.Svg.AsMemory());
            }
        }

        draft.Write("report.html", ReportFile.From(review, pictures));
    }

    private static void WriteTables(RunReview review, ResultDraft draft)
    {
        foreach (ResultTable table in ReviewTables.From(review))
        {
            draft.Write($"tables/{table.Name}.csv", stream => CsvText.Write(table, stream));
        }
    }
}
