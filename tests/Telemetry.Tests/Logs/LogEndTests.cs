using System.IO.Compression;
using System.Text;
using Telemetry.Logs;
using Telemetry.Tests.Output;

namespace Telemetry.Tests.Logs;

public class LogEndTests
{
    private const string Csv = "time [s],x [N]\n0,1\n0.1,2\n0.2,3\n";

    private static byte[] Parquet()
    {
        using MemoryStream stream = new();
        ParquetLogWriter.Write(LogReader.Read(Encoding.UTF8.GetBytes(Csv), "a.csv", LogOptions.Default), stream);
        return stream.ToArray();
    }

    private static byte[] Gzip(byte[] bytes)
    {
        using MemoryStream packed = new();
        using (GZipStream stream = new(packed, CompressionLevel.Fastest, leaveOpen: true))
        {
            stream.Write(bytes);
        }

        return packed.ToArray();
    }

    private static string? Of(byte[] bytes)
    {
        using TemporaryFolder folder = new();
        File.WriteAllBytes(folder["log"], bytes);
        return LogEnd.WhyNotWhole(folder["log"]);
    }

    [Fact]
    public void Whole_logs_of_every_form_are_whole()
    {
        Assert.Null(Of(Encoding.UTF8.GetBytes(Csv)));
        Assert.Null(Of(Encoding.UTF8.GetBytes(Csv.ReplaceLineEndings("\r\n"))));
        Assert.Null(Of(Encoding.Unicode.GetBytes(Csv)));
        Assert.Null(Of(Encoding.BigEndianUnicode.GetBytes(Csv)));
        Assert.Null(Of(Parquet()));
        Assert.Null(Of(Gzip(Encoding.UTF8.GetBytes(Csv))));
        Assert.Null(Of(Gzip(Parquet())));
    }

    [Fact]
    public void A_parquet_file_is_whole_only_with_its_last_byte()
    {
        byte[] whole = Parquet();
        Assert.All(Enumerable.Range(0, whole.Length), length => Assert.NotNull(Of(whole[..length])));
        // A copy that reserves the whole length first leaves zeros behind what has come.
        byte[] reserved = new byte[whole.Length];
        whole.AsSpan(0, whole.Length / 2).CopyTo(reserved);
        Assert.NotNull(Of(reserved));
    }

    [Fact]
    public void A_gzip_file_is_whole_only_with_its_last_byte()
    {
        byte[] whole = Gzip(Encoding.UTF8.GetBytes(Csv));
        Assert.All(Enumerable.Range(0, whole.Length), length => Assert.NotNull(Of(whole[..length])));
        Assert.NotNull(Of(Gzip(Encoding.UTF8.GetBytes(Csv[..^1]))));
    }

    [Fact]
    public void Text_is_not_whole_within_a_row_or_where_its_end_is_zeros()
    {
        Assert.All(Enumerable.Range(0, Csv.Length).Where(length => length == 0 || Csv[length - 1] != '\n'), length => Assert.NotNull(Of(Encoding.UTF8.GetBytes(Csv[..length]))));
        Assert.NotNull(Of(Encoding.UTF8.GetBytes(Csv + "\0\0\0\0")));
    }

    [Fact]
    public void A_file_that_is_gone_is_not_whole() => Assert.NotNull(LogEnd.WhyNotWhole(Path.Combine(Path.GetTempPath(), "no-such-log")));
}
