using System.Collections.Immutable;
using System.Text;
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

    /// <summary>The load around each strike, sample by sample, as a table of its own. Default: false; it is long.</summary>
    public bool WithStrikeHistories { get; init; }
}

/// <summary>Writes a review as a result folder: public entry of the outputs.</summary>
/// <remarks>
/// summary.json, tables/*.csv, plots/*.png and *.svg, channels.parquet, report.html, inspection.txt (a page to print and sign). The files are written side by side;
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
        // Made once, by whichever job needs them first: the files and the report show the same tables.
        Lazy<ImmutableArray<ResultTable>> tables = new(() => ReviewTables.From(review));
        Lazy<HeightCells> cells = new(() => Drawings.CellsOf(review.HeightMap));
        // Every picture is a job of its own: with as many jobs at a time as processors, none waits and none is shared out thinner. The channels take longest.
        ResultFolder.Write(folder,
        [
            draft => draft.Write("channels.parquet", stream => ProcessedChannels.Write(review, stream)),
            draft => WriteTables(tables.Value, draft),
            draft => draft.Write(ResultFolder.Mark, SummaryFile.ToJson(SummaryFile.From(review))),
            .. PicturesThenReport(review, tables, cells, options.WithPlots ? PlotSet.Pieces(review) : []),
            .. options.WithStrikeHistories ? [draft => WriteTables([KerbTables.Histories(review, [])], draft)] : Array.Empty<Action<ResultDraft>>(),
            draft => draft.Write("inspection.txt", Encoding.UTF8.GetBytes(InspectionSheet.From(review))),
        ]);
    }

    /// <summary>One job a picture and one a channel of the page; the one that ends last writes the report, which holds them all in their order.</summary>
    private static IEnumerable<Action<ResultDraft>> PicturesThenReport(RunReview review, Lazy<ImmutableArray<ResultTable>> tables, Lazy<HeightCells> cells, ImmutableArray<Func<PlotFile?>> pieces)
    {
        if (pieces.IsEmpty)
        {
            return [draft => draft.Write("report.html", ReportFile.Page(review, [], null, tables.Value, cells).WriteTo)];
        }

        (BucketGrid grid, ImmutableArray<TraceChannel> channels, ImmutableArray<Func<PackedSamples>> packs) = ReportTraces.Pieces(review);
        Lazy<FigureNumbers> numbers = new(() => FigureNumbers.Of(review, grid));
        var packed = new PackedSamples[packs.Length];
        var pictures = new ReportPicture?[pieces.Length];
        int left = pieces.Length + packs.Length;
        void EndOne(ResultDraft draft)
        {
            if (Interlocked.Decrement(ref left) == 0)
            {
                draft.Write("report.html", ReportFile.Page(review, [.. pictures.OfType<ReportPicture>()], ReportTraces.Within(grid, channels, [.. packed], numbers), tables.Value, cells).WriteTo);
            }
        }

        IEnumerable<Action<ResultDraft>> packing = packs.Select((pack, i) => (Action<ResultDraft>)(draft =>
        {
            packed[i] = pack();
            EndOne(draft);
        }));
        // The map's cells and the figures' numbers are asked for first of all, so that whoever ends last finds them done.
        Action<ResultDraft>[] before = [draft => _ = cells.Value, draft => _ = numbers.Value];
        return before.Concat(pieces.Select((draw, i) => (Action<ResultDraft>)(draft =>
        {
            if (draw() is { } plot)
            {
                pictures[i] = new(plot.Name, plot.Title, plot.Description, plot.Png.AsMemory());
                draft.Write($"plots/{plot.Name}.png", plot.Png.AsMemory());
                draft.Write($"plots/{plot.Name}.svg", plot.Svg.AsMemory());
            }

            EndOne(draft);
        }))).Concat(packing);
    }

    private static void WriteTables(ImmutableArray<ResultTable> tables, ResultDraft draft)
    {
        foreach (ResultTable table in tables)
        {
            draft.Write($"tables/{table.Name}.csv", stream => CsvText.Write(table, stream));
        }
    }
}
