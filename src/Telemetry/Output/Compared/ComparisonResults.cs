using System.Collections.Immutable;
using Telemetry.Comparison;
using Telemetry.Output.Plots;
using Telemetry.Output.Tables;

namespace Telemetry.Output.Compared;

/// <summary>Writes a comparison as files: public entry.</summary>
public static class ComparisonResults
{
    /// <summary>Writes the comparison alone; see the other form for what it writes with the runs' own results.</summary>
    /// <param name="result">The comparison.</param>
    /// <param name="folder">The folder; made when it is not there. Files of those names are replaced, others are left alone.</param>
    /// <param name="wantedShare">The wanted difference that the picture marks, share.</param>
    /// <exception cref="OutputError">The file system refuses.</exception>
    public static void Write(ComparisonResult result, string folder, double wantedShare) => Write(result, [], folder, wantedShare);

    /// <summary>Writes comparison.json, differences.csv, comparison.html and each picture as PNG and SVG into a folder; none takes its place before all are complete.</summary>
    /// <param name="result">The comparison.</param>
    /// <param name="summaries">The summary of each run in the order of the comparison, for the pictures and tables that set the runs side by side; empty for the differences alone.</param>
    /// <param name="folder">The folder; made when it is not there. Files of those names are replaced, others are left alone.</param>
    /// <param name="wantedShare">The wanted difference that the picture marks, share.</param>
    /// <exception cref="ArgumentException">There are summaries, and not one for each run.</exception>
    /// <exception cref="OutputError">The file system refuses.</exception>
    public static void Write(ComparisonResult result, IReadOnlyList<Summary> summaries, string folder, double wantedShare)
    {
        ArgumentNullException.ThrowIfNull(result);
        ArgumentNullException.ThrowIfNull(summaries);
        ArgumentException.ThrowIfNullOrEmpty(folder);
        ComparedSet set = ComparedSet.Of(result, summaries);
        ImmutableArray<PlotFile> pictures = ComparedPictures.Draw(set, wantedShare);
        List<(string, Action<Stream>)> files =
        [
            (Path.Combine(folder, "comparison.json"), stream => stream.Write(ComparisonFile.ToJson(result))),
            (Path.Combine(folder, "differences.csv"), stream => CsvText.Write(ComparisonTable.Differences(result), stream)),
            (Path.Combine(folder, "comparison.html"), stream => stream.Write(ComparisonPage.From(set, pictures))),
        ];
        foreach (PlotFile picture in pictures)
        {
            files.Add((Path.Combine(folder, picture.Name + ".png"), stream => stream.Write(picture.Png.AsSpan())));
            files.Add((Path.Combine(folder, picture.Name + ".svg"), stream => stream.Write(picture.Svg.AsSpan())));
        }

        WholeFiles.Write(files);
    }
}
