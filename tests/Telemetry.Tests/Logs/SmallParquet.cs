using System.IO.Hashing;
using System.Runtime.InteropServices;
using System.Text;

namespace Telemetry.Tests.Logs;

/// <summary>Writes a Parquet file of two columns byte by byte, so that it can claim what no library would write.</summary>
/// <remarks>Apache Parquet format, parquet.thrift; Apache Thrift compact protocol. Columns 'time [s]' and 'x' of required doubles, one page each.</remarks>
internal static class SmallParquet
{
    internal sealed record Wish
    {
        public double[] Values { get; init; } = [0, 1, 2, 3];

        /// <summary>Rows that the file claims; null for the true number.</summary>
        public long? Rows { get; init; }

        /// <summary>Unpacked length that the pages claim; null for the true one.</summary>
        public int? PageLength { get; init; }

        /// <summary>0 none, 1 Snappy, 6 Zstandard.</summary>
        public int Codec { get; init; }

        /// <summary>Bytes of the pages; null for the values.</summary>
        public byte[]? Content { get; init; }

        public bool WithCrc { get; init; }

        public bool CrcIsWrong { get; init; }

        public bool IsVersion2 { get; init; }
    }

    public static byte[] Write(Wish wish)
    {
        List<byte> file = [.. "PAR1"u8];
        long rows = wish.Rows ?? wish.Values.Length;
        double[] times = [.. Enumerable.Range(0, wish.Values.Length).Select(i => (double)i)];
        (string Name, long Start, long Length)[] chunks = [Page("time [s]", times, false), Page("x", wish.Values, wish.CrcIsWrong)];

        (string, long, long) Page(string name, double[] values, bool crcIsWrong)
        {
            byte[] content = wish.Content ?? MemoryMarshal.AsBytes(values.AsSpan()).ToArray();
            Struct head = new();
            head.Int(1, 5, wish.IsVersion2 ? 3 : 0);
            head.Int(2, 5, wish.PageLength ?? content.Length);
            head.Int(3, 5, content.Length);
            if (wish.WithCrc)
            {
                head.Int(4, 5, unchecked((int)Crc32.HashToUInt32(content)) ^ (crcIsWrong ? 1 : 0));
            }

            Struct data = new();
            data.Int(1, 5, rows);
            if (wish.IsVersion2)
            {
                data.Int(2, 5, 0);
                data.Int(3, 5, rows);
                data.Int(4, 5, 0);
                data.Int(5, 5, 0);
                data.Int(6, 5, 0);
            }
            else
            {
                data.Int(2, 5, 0);
                data.Int(3, 5, 3);
                data.Int(4, 5, 3);
            }

            head.Nested(wish.IsVersion2 ? 8 : 5, data);
            long start = file.Count;
            file.AddRange(head.End());
            file.AddRange(content);
            return (name, start, file.Count - start);
        }

        Struct root = new();
        root.Text(4, "schema");
        root.Int(5, 5, 2);
        Struct[] schema = [root, .. chunks.Select(chunk =>
        {
            Struct column = new();
            column.Int(1, 5, 5);
            column.Int(3, 5, 0);
            column.Text(4, chunk.Name);
            return column;
        })];
        Struct group = new();
        group.List(1, chunks.Select(chunk =>
        {
            Struct meta = new();
            meta.Int(1, 5, 5);
            meta.Bytes(2, 9, [0x15, 0]);
            meta.Bytes(3, 9, [0x18, (byte)chunk.Name.Length, .. Encoding.ASCII.GetBytes(chunk.Name)]);
            meta.Int(4, 5, wish.Codec);
            meta.Int(5, 6, rows);
            meta.Int(6, 6, chunk.Length);
            meta.Int(7, 6, chunk.Length);
            meta.Int(9, 6, chunk.Start);
            Struct column = new();
            column.Int(2, 6, chunk.Start);
            column.Nested(3, meta);
            return column;
        }));
        group.Int(2, 6, chunks.Sum(chunk => chunk.Length));
        group.Int(3, 6, rows);
        Struct footer = new();
        footer.Int(1, 5, 1);
        footer.List(2, schema);
        footer.Int(3, 6, rows);
        footer.List(4, [group]);
        byte[] end = footer.End();
        return [.. file, .. end, .. BitConverter.GetBytes(end.Length), .. "PAR1"u8];
    }

    /// <summary>A struct of the compact protocol; fields in rising order.</summary>
    private sealed class Struct
    {
        private readonly List<byte> bytes = [];
        private int last;

        public void Bytes(int field, byte kind, byte[] content)
        {
            bytes.Add((byte)(((field - last) << 4) | kind));
            last = field;
            bytes.AddRange(content);
        }

        public void Int(int field, byte kind, long value) => Bytes(field, kind, Varint((ulong)((value << 1) ^ (value >> 63))));

        public void Text(int field, string text) => Bytes(field, 8, [.. Varint((ulong)text.Length), .. Encoding.ASCII.GetBytes(text)]);

        public void Nested(int field, Struct inner) => Bytes(field, 12, inner.End());

        public void List(int field, IEnumerable<Struct> items)
        {
            Struct[] all = [.. items];
            Bytes(field, 9, [(byte)((all.Length << 4) | 12), .. all.SelectMany(item => item.End())]);
        }

        public byte[] End() => [.. bytes, 0];

        private static byte[] Varint(ulong value)
        {
            List<byte> parts = [];
            while (value >= 0x80)
            {
                parts.Add((byte)(value | 0x80));
                value >>= 7;
            }

            return [.. parts, (byte)value];
        }
    }
}
