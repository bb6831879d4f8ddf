using System.Collections.Immutable;
using Telemetry.Output.Plots;

namespace Telemetry.Output.Compared;

/// <summary>The pictures of a comparison, difference first.</summary>
internal static class ComparedPictures
{
    private static readonly ImmutableArray<Func<ComparedSet, Sketch>> OfRuns =
        [ComparedCurvesPicture.Aero, ComparedCurvesPicture.Platform, ComparedPartsPicture.Draw, ComparedKerbsPicture.Draw];

    /// <summary>Two rows of plots need more height than one.</summary>
    private static readonly PlotOptions Tall = PlotOptions.Default with { HeightPx = 1060 };

    /// <summary>The pictures before they are drawn; the caller disposes of the figures. Empty when no run's own results are known.</summary>
    public static ImmutableArray<Sketch> Sketches(ComparedSet set)
    {
        PlotFonts.Register();
        return set.Runs.IsEmpty ? [] : [.. OfRuns.Select(draw => draw(set))];
    }

    /// <summary>The pictures; those without data are left out.</summary>
    public static ImmutableArray<PlotFile> Draw(ComparedSet set, double wantedShare)
    {
        var files = ImmutableArray.CreateBuilder<PlotFile>();
        if (ForestPicture.Draw(set.Result, wantedShare) is { } forest)
        {
            files.Add(forest);
        }

        foreach (Sketch sketch in Sketches(set))
        {
            if (sketch.Figure is { } figure)
            {
                using (figure)
                {
                    (ImmutableArray<byte> png, ImmutableArray<byte> svg) = FigureWriter.Write(figure, figure.Panels.Count > 2 ? Tall : PlotOptions.Default);
                    files.Add(new(figure.Name, figure.Title, figure.Description, png, svg));
                }
            }
        }

        return files.ToImmutable();
    }
}
