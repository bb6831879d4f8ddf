using System.IO.Compression;
using System.Text;
using Telemetry.Logs;

namespace Telemetry.Tests.Logs;

/// <summary>One row of the table of hostile files: the bytes, and what has to come of them.</summary>
internal sealed record HostileFile
{
    /// <summary>Name of the file, which the reader must not trust.</summary>
    public string FileName { get; init; } = "run.csv";

    /// <summary>Makes the file; called only when the test needs it.</summary>
    public required Func<LogSource> Make { get; init; }

    /// <summary>What the file leaves open.</summary>
    public LogOptions Options { get; init; } = LogOptions.Default;

    /// <summary>Where the first fault stands (its end), a word of what is found, a word of the remedy; null when the file is read.</summary>
    public (string Where, string Found, string Remedy)? Refused { get; init; }

    /// <summary>Times and samples of channel x, when it is read.</summary>
    public (double[] TimesS, double[] Samples)? X { get; init; }

    /// <summary>Kinds of findings besides notes, in order, when it is read.</summary>
    public LogFindingKind[] Findings { get; init; } = [];

    /// <summary>A word of a note, when one must be there.</summary>
    public string? Note { get; init; }

    /// <summary>Most bytes that may be allocated on the way, MB.</summary>
    public int MostMegabytes { get; init; } = 24;

    public static HostileFile Of(string text) => Of(Encoding.UTF8.GetBytes(text));

    public static HostileFile Of(byte[] bytes) => new() { Make = () => new MemorySource(bytes) };

    public HostileFile Named(string name) => this with { FileName = name };

    public HostileFile With(LogOptions options) => this with { Options = options };

    public HostileFile IsRefused(string where, string found, string remedy) => this with { Refused = (where, found, remedy) };

    public HostileFile Reads(double[] times, double[] samples, params LogFindingKind[] findings) => this with { X = (times, samples), Findings = findings };

    public HostileFile Saying(string note) => this with { Note = note };

    public HostileFile Within(int megabytes) => this with { MostMegabytes = megabytes };

    /// <summary>Text that is made while it is read: a head, and then one sign without end.</summary>
    public static HostileFile Endless(string head, char sign, long length) => new() { Make = () => new EndlessSource(Encoding.ASCII.GetBytes(head), (byte)sign, length) };

    public static byte[] Gzip(byte[] bytes) => Gzip(stream => stream.Write(bytes));

    public static byte[] Gzip(Action<Stream> write)
    {
        using MemoryStream packed = new();
        using (GZipStream stream = new(packed, CompressionLevel.Optimal))
        {
            write(stream);
        }

        return packed.ToArray();
    }

    private sealed class EndlessSource(byte[] head, byte sign, long length) : LogSource
    {
        public override long Length => length;

        public override int Read(long offset, Span<byte> buffer)
        {
            int count = (int)Math.Clamp(length - offset, 0, buffer.Length);
            Span<byte> asked = buffer[..count];
            asked.Fill(sign);
            if (offset < head.Length)
            {
                head.AsSpan((int)offset, (int)Math.Min(head.Length - offset, count)).CopyTo(asked);
            }

            return count;
        }
    }
}
