using System.Collections.Concurrent;
using System.Collections.Immutable;
using Telemetry.Review;

namespace Telemetry.Output.Plots;

/// <summary>Every picture of a review, and which were left out and why. Drawn in memory; nothing is written to disk.</summary>
/// <param name="Files">The pictures, always in the same order.</param>
/// <param name="LeftOut">Pictures for which the review holds no data, in the same order.</param>
public sealed record PlotSet(ImmutableArray<PlotFile> Files, ImmutableArray<LeftOutPlot> LeftOut)
{
    private static readonly ImmutableArray<Func<RunReview, Sketch>> Pictures =
    [
        // The slowest first, so that they do not hold up the end.
        SpectrumPicture.Draw,
        LoadModePicture.Draw,
        DisplacementModePicture.Draw,
        ExceedancePicture.Draw,
        AeroLoadPicture.Draw,
        AeroBudgetPicture.Draw,
        RideHeightMapPicture.Draw,
        BalancePicture.Draw,
        PlatformPicture.Draw,
        RubberKneePicture.Draw,
        KerbStrikePicture.Draw,
        KerbMapPicture.Draw,
        RangeMeanPicture.Draw,
        DamagePicture.Draw,
        DamageSourcePicture.Draw,
        DamperVelocityPicture.Draw,
        HealthPicture.Draw,
    ];

    /// <summary>Draws the pictures of a review.</summary>
    /// <remarks>
    /// The same review and options give the same bytes, however many are drawn at a time. The fonts are embedded, so the machine's own do not matter.
    /// The first call registers them with the plotting library and makes them its default, for the whole process.
    /// </remarks>
    /// <exception cref="ArgumentOutOfRangeException">An option is outside its range.</exception>
    public static PlotSet Draw(RunReview review, PlotOptions? options = null)
    {
        options ??= PlotOptions.Default;
        ImmutableArray<Func<(PlotFile? File, LeftOutPlot? LeftOut)>> pieces = Made(review, options);
        var made = new (PlotFile? File, LeftOutPlot? LeftOut)[pieces.Length];
        ParallelOptions parallel = new() { MaxDegreeOfParallelism = options.Parallel == 0 ? Environment.ProcessorCount : options.Parallel };
        // One at a time and no blocks of several: the pictures differ much in cost.
        System.Threading.Tasks.Parallel.ForEach(
            Partitioner.Create(Enumerable.Range(0, made.Length), EnumerablePartitionerOptions.NoBuffering),
            parallel,
            i => made[i] = pieces[i]());
        return new(
            [.. made.Where(m => m.File is not null).Select(m => m.File!)],
            [.. made.Where(m => m.LeftOut is not null).Select(m => m.LeftOut!)]);
    }

    /// <summary>The pictures as pieces of work, the slowest first, for a caller who has other work beside them: each call draws one, or gives null where the review holds no data for it.</summary>
    /// <param name="review">The review.</param>
    /// <param name="options">Size; how many are drawn at a time is the caller's to say.</param>
    /// <exception cref="ArgumentOutOfRangeException">An option is outside its range.</exception>
    public static ImmutableArray<Func<PlotFile?>> Pieces(RunReview review, PlotOptions? options = null) =>
        [.. Made(review, options ?? PlotOptions.Default).Select(make => (Func<PlotFile?>)(() => make().File))];

    /// <summary>The sketches in the order of <see cref="Files"/>, before they become bytes. The caller disposes of the figures.</summary>
    internal static ImmutableArray<Sketch> Sketches(RunReview review)
    {
        PlotFonts.Register();
        return [.. Pictures.Select(draw => draw(review))];
    }

    private static ImmutableArray<Func<(PlotFile? File, LeftOutPlot? LeftOut)>> Made(RunReview review, PlotOptions options)
    {
        ArgumentNullException.ThrowIfNull(review);
        options.Check();
        return [.. Pictures.Select(draw => (Func<(PlotFile?, LeftOutPlot?)>)(() => One(draw, review, options)))];
    }

    private static (PlotFile? File, LeftOutPlot? LeftOut) One(Func<RunReview, Sketch> draw, RunReview review, PlotOptions options)
    {
        PlotFonts.Register();
        Sketch sketch = draw(review);
        if (sketch.Figure is not { } figure)
        {
            return (null, new(sketch.Name, sketch.LeftOutBecause!));
        }

        using (figure)
        {
            (ImmutableArray<byte> png, ImmutableArray<byte> svg) = FigureWriter.Write(figure, options);
            return (new(figure.Name, figure.Title, figure.Description, png, svg), null);
        }
    }
}

/// <summary>A figure ready to be written, or the reason why there is none.</summary>
internal readonly record struct Sketch(string Name, Figure? Figure, string? LeftOutBecause)
{
    public static Sketch Of(Figure figure) => new(figure.Name, figure, null);

    public static Sketch Without(string name, string because) => new(name, null, because);
}
