using System.Buffers;
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
    /// <summary>Whole groups of three bytes, or there would be padding in the middle.</summary>
    private const int BytesAtOnce = 3 << 14;

    // Text, or bytes that are written in base 64: pictures are millions of characters and are not copied from piece to piece.
    private readonly object[]? pieces;

    private Html(object[] pieces) => this.pieces = pieces;

    /// <summary>Nothing.</summary>
    public static Html None => default;

    /// <summary>Markup from an interpolated string: what stands in the source is markup, what comes from a hole is encoded text.</summary>
    public static Html Of(ref HtmlHandler text) => new(text.Take());

    /// <summary>A constant of the program, as it stands. Never call it with text from a file.</summary>
    public static Html Constant([ConstantExpected] string markup) => new([markup]);

    /// <summary>Bytes in base 64, for a data address.</summary>
    public static Html Base64(ReadOnlyMemory<byte> bytes) => new([bytes]);

    /// <summary>JSON from System.Text.Json's own writer, which leaves no '&lt;' in it: nothing can end the element that holds it.</summary>
    public static Html Data(ReadOnlyMemory<byte> json) => new([new JsonBytes(json)]);

    /// <summary>A script or style of this library, as it stands: an embedded file, never text from a log. It must not hold the end tag of the element that it goes into.</summary>
    public static Html Resource(string text) => new([text]);

    /// <summary>Pieces one after the other.</summary>
    public static Html Join(IEnumerable<Html> pieces)
    {
        HtmlHandler all = new(0, 0);
        foreach (Html piece in pieces)
        {
            all.AppendFormatted(piece);
        }

        return new(all.Take());
    }

    /// <summary>The markup as UTF-8 without a byte-order mark.</summary>
    public byte[] ToUtf8()
    {
        using MemoryStream stream = new();
        WriteTo(stream);
        return stream.ToArray();
    }

    /// <summary>Writes the markup as UTF-8 without a byte-order mark. Piece by piece: a page is many megabytes, most of them bytes that were never text.</summary>
    public void WriteTo(Stream stream)
    {
        byte[] room = ArrayPool<byte>.Shared.Rent(Base64Length(BytesAtOnce));
        foreach (object piece in Pieces)
        {
            switch (piece)
            {
                case string text:
                    stream.Write(Encoding.UTF8.GetBytes(text));
                    break;
                case JsonBytes json:
                    stream.Write(json.Utf8.Span);
                    break;
                default:
                    WriteBase64(((ReadOnlyMemory<byte>)piece).Span, room, stream);
                    break;
            }
        }

        ArrayPool<byte>.Shared.Return(room);
    }

    private static void WriteBase64(ReadOnlySpan<byte> bytes, byte[] room, Stream stream)
    {
        while (!bytes.IsEmpty)
        {
            int now = Math.Min(bytes.Length, BytesAtOnce);
            System.Buffers.Text.Base64.EncodeToUtf8(bytes[..now], room, out _, out int written);
            stream.Write(room, 0, written);
            bytes = bytes[now..];
        }
    }

    private static int Base64Length(int bytes) => (bytes + 2) / 3 * 4;

    internal ReadOnlySpan<object> Pieces => pieces;

    private sealed record JsonBytes(ReadOnlyMemory<byte> Utf8);
}

/// <summary>Builds <see cref="Html"/>: encodes every hole but one that is itself <see cref="Html"/>.</summary>
[InterpolatedStringHandler]
internal readonly ref struct HtmlHandler
{
    private readonly StringBuilder builder;
    private readonly List<object> pieces;

    /// <summary>Called by the compiler.</summary>
    public HtmlHandler(int literalLength, int holes)
    {
        builder = new StringBuilder(literalLength + (holes * 16));
        pieces = [];
    }

    /// <summary>A part of the source: markup.</summary>
    public void AppendLiteral(string markup) => builder.Append(markup);

    /// <summary>Text of unknown origin: encoded, and fit for an attribute in double quotes as well; a mark of writing direction is shown by its number.</summary>
    public void AppendFormatted(string? text) => builder.Append(HtmlEncoder.Default.Encode(DirectionMarks.Shown(text ?? "")));

    /// <summary>A count.</summary>
    public void AppendFormatted(int number) => builder.Append(CultureInfo.InvariantCulture, $"{number}");

    /// <summary>Markup that was made the same way.</summary>
    public void AppendFormatted(Html html)
    {
        foreach (object piece in html.Pieces)
        {
            if (piece is string text)
            {
                builder.Append(text);
            }
            else
            {
                Flush();
                pieces.Add(piece);
            }
        }
    }

    internal object[] Take()
    {
        Flush();
        return [.. pieces];
    }

    private void Flush()
    {
        if (builder.Length > 0)
        {
            pieces.Add(builder.ToString());
            builder.Clear();
        }
    }
}
