using Telemetry.Comparison;
using Telemetry.Output.Plots;
using Telemetry.Output.Tables;

namespace Telemetry.Output.Compared;

/// <summary>Writes a comparison as files: public entry.</summary>
public static class ComparisonResults
{
    /// <summary>Writes comparison.json, differences.csv, differences.png and .svg and comparison.html into a folder; none takes its place before all are complete.</summary>
    /// <param name="result">The comparison.</param>
    /// <param name="folder">The folder; made when it is not there. Files of those names are replaced, others are left alone.</param>
    /// <param name="wantedShare">The wanted difference that the picture marks, share.</param>
    /// <exception cref="OutputError">The file system refuses.</exception>
    public static void Write(ComparisonResult result, string folder, double wantedShare)
    {
        ArgumentNullException.ThrowIfNull(result);
        ArgumentException.ThrowIfNullOrEmpty(folder);
        PlotFile? forest = ForestPicture.Draw(result, wantedShare);
        List<(string, Action<Stream>)> files =
        [
            (Path.Combine(folder, "comparison.json"), stream => stream.Write(ComparisonFile.ToJson(result))),
            (Path.Combine(folder, "differences.csv"), stream => CsvText.Write(ComparisonTable.Differences(result), stream)),
            (Path.Combine(folder, "comparison.html"), stream => stream.Write(ComparisonPage.From(result, forest))),
        ];
        if (forest is not null)
        {
            files.Add((Path.Combine(folder, "differences.png"), stream => stream.Write(forest.Png.AsSpan())));
            files.Add((Path.Combine(folder, "differences.svg"), stream => stream.Write(forest.Svg.AsSpan())));
        }

        WholeFiles.Write(files);
    }
}
