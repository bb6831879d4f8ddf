using System.Collections.Immutable;

namespace Telemetry.Output;

/// <summary>A picture that a notebook shows inline.</summary>
/// <remarks>As the last expression of a cell, or through <c>display(picture)</c>.</remarks>
/// <param name="Png">PNG file.</param>
[Microsoft.DotNet.Interactive.Formatting.TypeFormatterSource(typeof(PictureFormatters), PreferredMimeTypes = ["image/png"])]
public sealed record Picture(ImmutableArray<byte> Png);
