using System.Collections.Immutable;

namespace Telemetry.Output.Plots;

/// <summary>One picture, drawn twice: as pixels and as lines.</summary>
/// <param name="Name">File name without ending, lower case with underscores ("aero_load_by_speed").</param>
/// <param name="Title">The finding that the picture shows, as it stands above it.</param>
/// <param name="Description">What is drawn, for a reader who cannot see it (the 'alt' text).</param>
/// <param name="Png">PNG file.</param>
/// <param name="Svg">SVG file, UTF-8 without a byte order mark; no script and nothing from outside.</param>
public sealed record PlotFile(string Name, string Title, string Description, ImmutableArray<byte> Png, ImmutableArray<byte> Svg);

/// <summary>A picture that was not drawn.</summary>
/// <param name="Name">File name without ending that it would have had.</param>
/// <param name="Because">What is missing, as one sentence.</param>
public sealed record LeftOutPlot(string Name, string Because);
