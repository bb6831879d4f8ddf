using System.Diagnostics.CodeAnalysis;
using System.Globalization;
using System.Runtime.CompilerServices;
using System.Text;
using System.Text.Encodings.Web;

namespace Telemetry.Output.Report;

/// <summary>Markup that is already safe. Made from interpolated strings, in which every hole is encoded, or from constants.</summary>
/// <remarks>
/// A component renderer would escape as well, but brings two packages and a fifth of a second to its first page; this job
/// has 2.5 s in all and its page is headings, tables and pictures.
/// </remarks>
internal readonly struct Html
{
    private readonly string? markup;

    private Html(string markup) => this.markup = markup;

    /// <summary>Nothing.</summary>
    public static Html None => default;

    /// <summary>Markup from an interpolated string: what stands in the source is markup, what comes from a hole is encoded text.</summary>
    public static Html Of(ref HtmlHandler text) => new(text.Take());

    /// <summary>A constant of the program, as it stands. Never call it with text from a file.</summary>
    public static Html Constant([ConstantExpected] string markup) => new(markup);

    /// <summary>Pieces one after the other.</summary>
    public static Html Join(IEnumerable<Html> pieces)
    {
        StringBuilder all = new();
        foreach (Html piece in pieces)
        {
            all.Append(piece.markup);
        }

        return new(all.ToString());
    }

    /// <inheritdoc/>
    public override string ToString() => markup ?? "";
}

/// <summary>Builds <see cref="Html"/>: encodes every hole but one that is itself <see cref="Html"/>.</summary>
[InterpolatedStringHandler]
internal readonly ref struct HtmlHandler
{
    private readonly StringBuilder builder;

    /// <summary>Called by the compiler.</summary>
    public HtmlHandler(int literalLength, int holes) => builder = new StringBuilder(literalLength + (holes * 16));

    /// <summary>A part of the source: markup.</summary>
    public void AppendLiteral(string markup) => builder.Append(markup);

    /// <summary>Text of unknown origin: encoded, and fit for an attribute in double quotes as well.</summary>
    public void AppendFormatted(string? text) => builder.Append(HtmlEncoder.Default.Encode(text ?? ""));

    /// <summary>A count.</summary>
    public void AppendFormatted(int number) => builder.Append(CultureInfo.InvariantCulture, $"{number}");

    /// <summary>Markup that was made the same way.</summary>
    public void AppendFormatted(Html html) => builder.Append(html.ToString());

    internal string Take() => builder.ToString();
}
