using Telemetry.Logs;

namespace Telemetry.Tests.Logs;

/// <summary>Damaged and hostile Parquet: our own files by their checksums, others by what their pages say of themselves.</summary>
[Collection(nameof(MeasuredMemory))]
public class ParquetDamageTests
{
    private static byte[] Ours() => ParquetRoundTripTests.Bytes(LogText.Read(
        "time [s],load [N],slow [mm],whole\n" + string.Concat(Enumerable.Range(0, 400).Select(i => FormattableString.Invariant($"{i * 0.01:F2},{i * 0.37 % 11},{(i % 5 == 0 ? $"{i * 0.25}" : "")},{i % 17}\n")))));

    [Fact]
    public void One_flipped_bit_in_our_own_file_never_gives_other_numbers()
    {
        byte[] good = Ours();
        RunLog expected = LogText.Read(good);
        Random random = new(11);
        int refused = 0;
        for (int at = 0; at < good.Length; at++)
        {
            byte[] bytes = (byte[])good.Clone();
            bytes[at] ^= (byte)(1 << random.Next(8));
            RunLog read;
            try
            {
                read = LogText.Read(bytes);
            }
            catch (InputError)
            {
                refused++;
                continue;
            }

            // A bit of what nobody reads (statistics, the name of the writing program) may differ.
            LogText.AssertSame(expected, read);
        }

        Assert.True(refused > good.Length / 2, $"{refused} of {good.Length} were refused.");
    }

    [Fact]
    public void A_footer_that_ends_for_one_reader_and_not_for_another_is_refused_before_memory_is_taken_for_it()
    {
        byte[] bytes = File.ReadAllBytes(Path.Combine(Repository.Data("damaged"), "footer-that-seems-to-end.parquet"));
        Assert.InRange(AllocatedBy(bytes), 0, 16 << 20);
    }

    // The kind of a Thrift field is the low half of its head: every byte of the footer is made the head of a field of each kind.
    [Theory]
    [InlineData(0)]
    [InlineData(3)]
    [InlineData(5)]
    [InlineData(8)]
    [InlineData(9)]
    [InlineData(12)]
    public void No_field_of_another_kind_takes_memory(int kind)
    {
        byte[] good = Ours();
        int footer = BitConverter.ToInt32(good, good.Length - 8);
        for (int at = good.Length - 8 - footer; at < good.Length - 8; at++)
        {
            byte[] bytes = (byte[])good.Clone();
            bytes[at] = (byte)((bytes[at] & 0xF0) | kind);
            Assert.InRange(AllocatedBy(bytes), 0, 16 << 20);
        }
    }

    private static long AllocatedBy(byte[] bytes)
    {
        long before = GC.GetTotalAllocatedBytes(precise: true);
        try
        {
            LogText.Read(bytes);
        }
        catch (InputError)
        {
            // Refused, as most are.
        }

        return GC.GetTotalAllocatedBytes(precise: true) - before;
    }

    [Fact]
    public void The_hash_of_numbers_is_the_librarys_of_their_bytes()
    {
        // Against System.IO.Hashing's XxHash64.
        double[] values = [.. Enumerable.Range(0, 103).Select(i => Math.Sin(i) * Math.Pow(10, (i % 40) - 20))];
        for (int count = 0; count <= values.Length; count++)
        {
            ReadOnlySpan<double> some = values.AsSpan(0, count);
            Assert.Equal(System.IO.Hashing.XxHash64.HashToUInt64(System.Runtime.InteropServices.MemoryMarshal.AsBytes(some), count), DoubleHash.Of(some, (ulong)count));
        }
    }

    [Fact]
    public void A_changed_value_is_told_with_its_column()
    {
        RunLog log = LogText.Read("time [s],load [N]\n0,1.5\n1,2.5\n");
        byte[] good = ParquetRoundTripTests.Bytes(log);
        byte[] other = ParquetRoundTripTests.Bytes(LogText.Read("time [s],load [N]\n0,1.5\n1,2.25\n"));
        Assert.Equal(good.Length, other.Length);

        // The checksum of one file over the values of the other.
        byte[] sum = System.Text.Encoding.ASCII.GetBytes(ParquetChecksum.OfColumn("load", "N", ParquetKeys.Format(log.Channels[0].Time), [1.5, 2.5]));
        byte[] otherSum = System.Text.Encoding.ASCII.GetBytes(ParquetChecksum.OfColumn("load", "N", ParquetKeys.Format(log.Channels[0].Time), [1.5, 2.25]));
        otherSum.CopyTo(good.AsSpan(good.AsSpan().IndexOf(sum)));
        InputError error = Assert.Throws<InputError>(() => LogText.Read(good));
        Assert.EndsWith("column 'load'", error.Faults[0].Where, StringComparison.Ordinal);
        Assert.Contains("checksum does not fit", error.Faults[0].Found, StringComparison.Ordinal);
    }

    [Fact]
    public void A_file_whose_pages_are_right_is_read()
    {
        RunLog log = LogText.Read(SmallParquet.Write(new()));
        Assert.Equal([0, 1, 2, 3], log.Samples("x"));
    }

    [Fact]
    public void A_page_is_held_to_its_own_sum()
    {
        Assert.Equal([0, 1, 2, 3], LogText.Read(SmallParquet.Write(new() { WithCrc = true })).Samples("x"));
        InputError error = Assert.Throws<InputError>(() => LogText.Read(SmallParquet.Write(new() { WithCrc = true, CrcIsWrong = true })));
        Assert.EndsWith("column 'x'", error.Faults[0].Where, StringComparison.Ordinal);
        Assert.Contains("checksum", error.Faults[0].Found, StringComparison.Ordinal);
    }

    [Fact]
    public void The_published_file_with_page_sums_is_refused_once_a_page_is_changed()
    {
        byte[] bytes = File.ReadAllBytes(Repository.Data("parquet", "data", "datapage_v1-snappy-compressed-checksum.parquet"));
        using MemorySource good = new(bytes);
        Assert.NotEmpty(ParquetLogReader.ReadNumbers(good));
        bytes[bytes.Length / 3] ^= 1;
        using MemorySource bad = new(bytes);
        Assert.Throws<InputError>(() => ParquetLogReader.ReadNumbers(bad));
    }

    public static TheoryData<string> Bombs => new("rows", "page", "snappy", "snappy 2", "zstd", "zstd blocks", "zstd blocks 2", "gzip content", "brotli content");

    [Theory]
    [MemberData(nameof(Bombs))]
    public void A_tiny_file_that_claims_gigabytes_is_refused_before_they_are_taken(string kind)
    {
        byte[] bytes = SmallParquet.Write(kind switch
        {
            "rows" => new() { Rows = 100_000_000, PageLength = 800_000_000 },
            "page" => new() { PageLength = int.MaxValue },

            // Snappy's head is a variable-length number, here 2^31 - 1; then nothing.
            "snappy" => new() { Codec = 1, Content = [0xFF, 0xFF, 0xFF, 0xFF, 0x07, 0, 0], PageLength = 32 },
            "snappy 2" => new() { Codec = 1, Content = [0xFF, 0xFF, 0xFF, 0xFF, 0x07, 0, 0], PageLength = 32, IsVersion2 = true },

            // Content that unpacks to far more than the page says.
            "gzip content" => new() { Codec = 2, Content = HostileFile.Gzip(new byte[200 << 20]), PageLength = 32 },
            "brotli content" => new() { Codec = 4, Content = Brotli(new byte[200 << 20]), PageLength = 32 },
            "zstd blocks" => new() { Codec = 6, Content = ZstdOfZeros(1000), PageLength = 32 },
            "zstd blocks 2" => new() { Codec = 6, Content = ZstdOfZeros(1000), PageLength = 32, IsVersion2 = true },

            // RFC 8878, 3.1.1: magic, descriptor of an 8-byte content size in a single segment, 2^31 - 16, one empty last block.
            _ => new() { Codec = 6, Content = [0x28, 0xB5, 0x2F, 0xFD, 0xE0, 0xF0, 0xFF, 0xFF, 0x7F, 0, 0, 0, 0, 1, 0, 0], PageLength = 32 },
        });
        long before = GC.GetTotalAllocatedBytes(precise: true);
        Exception? thrown = Record.Exception(() => LogText.Read(bytes));

        // Content beyond the length that a page states is never unpacked; what is claimed and not there is refused.
        Assert.True(thrown is InputError || (thrown is null && kind.EndsWith("content", StringComparison.Ordinal)), thrown?.ToString() ?? "The file was read.");
        Assert.InRange((GC.GetTotalAllocatedBytes(precise: true) - before) >> 20, 0, 24);
    }

    private static byte[] Brotli(byte[] bytes)
    {
        using MemoryStream packed = new();
        using (System.IO.Compression.BrotliStream stream = new(packed, System.IO.Compression.CompressionLevel.Fastest))
        {
            stream.Write(bytes);
        }

        return packed.ToArray();
    }

    /// <summary>RFC 8878, 3.1.1.2: run-length blocks of 128 kB each, in a frame that does not state its size (window of 1 MB).</summary>
    private static byte[] ZstdOfZeros(int blocks)
    {
        List<byte> frame = [0x28, 0xB5, 0x2F, 0xFD, 0x00, 0x50];
        for (int i = 0; i < blocks; i++)
        {
            int head = ((128 << 10) << 3) | (1 << 1) | (i == blocks - 1 ? 1 : 0);
            frame.AddRange([(byte)head, (byte)(head >> 8), (byte)(head >> 16), 0]);
        }

        return [.. frame];
    }

    [Fact]
    public void A_packed_page_is_held_to_its_length_also_where_blocks_are_finer_than_their_bound()
    {
        // RFC 8878: two frames, each of one raw block of 16 bytes and its own size of 16.
        byte[] frame = [0x28, 0xB5, 0x2F, 0xFD, 0x20, 16, (16 << 3) | 1, 0, 0, .. new byte[16]];
        using MemorySource one = new(frame);
        ZstdPage.Check(one, 0, frame.Length, 16);
        byte[] twice = [.. frame, .. frame];
        using MemorySource two = new(twice);
        ZstdPage.Check(two, 0, twice.Length, 32);
        Assert.Throws<InvalidDataException>(() => ZstdPage.Check(two, 0, twice.Length, 31));
    }

    [Fact]
    public void Numbers_that_no_sensor_gives_are_told_where_no_checksum_guards_them()
    {
        LogFinding finding = LogText.Read(SmallParquet.Write(new() { Values = [1, 2.5e200, 3, 4] })).Finding(LogFindingKind.ImplausibleNumber);
        Assert.EndsWith("row 2, column 'x'", finding.Where, StringComparison.Ordinal);
        Assert.DoesNotContain(LogText.Read(ParquetRoundTripTests.Bytes(LogText.Read("time [s],x\n0,1\n1,2.5e200\n"))).Findings, f => f.Kind == LogFindingKind.ImplausibleNumber);
    }
}
