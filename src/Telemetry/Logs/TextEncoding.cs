using System.Text;

namespace Telemetry.Logs;

/// <summary>Which text encoding a CSV file has, and its text as UTF-8.</summary>
internal static class TextEncoding
{
    private static readonly UTF8Encoding Strict = new(false, throwOnInvalidBytes: true);

    /// <summary>The source without its byte order mark, transcoded when it is UTF-16.</summary>
    /// <exception cref="InputError">The file is not text.</exception>
    public static LogSource ToUtf8(LogSource source, string fileName)
    {
        Span<byte> head = stackalloc byte[512];
        head = head[..source.Read(0, head)];
        int marks = Marks(head);
        if (marks > 0)
        {
            return source.Skip(marks);
        }

        if (head.StartsWith((ReadOnlySpan<byte>)[0xFF, 0xFE, 0, 0]) || head.StartsWith((ReadOnlySpan<byte>)[0, 0, 0xFE, 0xFF]))
        {
            throw new InputError(fileName, "The text is UTF-32, which is not read.", "Save it as UTF-8.");
        }

        if (head.StartsWith((ReadOnlySpan<byte>)[0xFF, 0xFE]))
        {
            return Transcode(source.Skip(2), Encoding.Unicode, fileName);
        }

        if (head.StartsWith((ReadOnlySpan<byte>)[0xFE, 0xFF]))
        {
            return Transcode(source.Skip(2), Encoding.BigEndianUnicode, fileName);
        }

        return Utf16WithoutMark(head) is { } encoding ? Transcode(source, encoding, fileName) : source.Skip(0);
    }

    /// <summary>Text of a name or a field: UTF-8, or Latin-1 where the bytes are no UTF-8 (the degree sign of older loggers).</summary>
    public static string Decode(ReadOnlySpan<byte> bytes)
    {
        try
        {
            return Strict.GetString(bytes);
        }
        catch (DecoderFallbackException)
        {
            return Encoding.Latin1.GetString(bytes);
        }
    }

    /// <summary>Bytes of the UTF-8 marks at the start: files that were joined or saved twice have more than one.</summary>
    private static int Marks(ReadOnlySpan<byte> head)
    {
        int length = 0;
        while (head[length..].StartsWith((ReadOnlySpan<byte>)[0xEF, 0xBB, 0xBF]))
        {
            length += 3;
        }

        return length;
    }

    /// <summary>
    /// UTF-16 without a mark is believed when at least nine in ten of the first characters have a zero upper byte and none a zero lower byte:
    /// numbers and Latin names do; a binary file does not.
    /// </summary>
    private static Encoding? Utf16WithoutMark(ReadOnlySpan<byte> head)
    {
        int pairs = head.Length / 2;
        int zeroFirst = 0;
        int zeroSecond = 0;
        for (int i = 0; i < pairs; i++)
        {
            zeroFirst += head[2 * i] == 0 ? 1 : 0;
            zeroSecond += head[(2 * i) + 1] == 0 ? 1 : 0;
        }

        return pairs < 4 ? null
            : zeroFirst == 0 && zeroSecond * 10 >= pairs * 9 ? Encoding.Unicode
            : zeroSecond == 0 && zeroFirst * 10 >= pairs * 9 ? Encoding.BigEndianUnicode
            : null;
    }

    private static MemorySource Transcode(LogSource source, Encoding encoding, string fileName)
    {
        // A UTF-16 character becomes at most three bytes for its two.
        if (source.Length > LogReader.MostBytesInMemory / 3 * 2L)
        {
            throw new InputError(fileName, "The UTF-16 file is larger than 1.3 GB.", "Save it as UTF-8.");
        }

        using SourceStream stream = new(source);
        using Stream utf8 = Encoding.CreateTranscodingStream(stream, encoding, Encoding.UTF8, leaveOpen: true);
        MemoryStream target = new((int)(source.Length / 2) + 16);
        utf8.CopyTo(target);
        ReadOnlyMemory<byte> bytes = target.GetBuffer().AsMemory(0, (int)target.Length);
        return new MemorySource(bytes.Span.StartsWith((ReadOnlySpan<byte>)[0xEF, 0xBB, 0xBF]) ? bytes[3..] : bytes);
    }
}
