namespace Telemetry.Output.Plots;

/// <summary>How the pictures are drawn.</summary>
public sealed record PlotOptions
{
    /// <summary>The defaults below.</summary>
    public static PlotOptions Default { get; } = new();

    /// <summary>Width of a PNG, pixels; at least 400. Default 1600: sharp at the width of a printed page and readable when shown at 800.</summary>
    public int WidthPx { get; init; } = 1600;

    /// <summary>Height of a PNG, pixels; between a third of the width and one and a half times it. Default 900, so that a picture fills a 16:9 screen.</summary>
    public int HeightPx { get; init; } = 900;

    /// <summary>Pictures drawn at a time; 0 (default) takes one for each processor. The pictures do not depend on it.</summary>
    public int Parallel { get; init; }

    /// <summary>Refuses sizes that cannot be laid out.</summary>
    /// <exception cref="ArgumentOutOfRangeException">A size or count is outside its range.</exception>
    internal void Check()
    {
        ArgumentOutOfRangeException.ThrowIfLessThan(WidthPx, 400);
        ArgumentOutOfRangeException.ThrowIfGreaterThan(WidthPx, 8000);
        ArgumentOutOfRangeException.ThrowIfLessThan(HeightPx, WidthPx / 3);
        ArgumentOutOfRangeException.ThrowIfGreaterThan(HeightPx, WidthPx * 3 / 2);
        ArgumentOutOfRangeException.ThrowIfNegative(Parallel);
    }
}
