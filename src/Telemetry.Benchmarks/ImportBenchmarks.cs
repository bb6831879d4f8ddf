using System.Globalization;
using System.Text;
using BenchmarkDotNet.Attributes;
using CsvHelper;
using Telemetry.Logs;

namespace Telemetry.Benchmarks;

/// <summary>
/// Import of a 15-minute run: 900,000 rows of time and 19 channels with three decimals, about 140 MB of CSV,
/// beside the bare parse of the same bytes with the same library and no checks.
/// </summary>
[MemoryDiagnoser]
[SimpleJob(warmupCount: 2, iterationCount: 7)]
public class ImportBenchmarks
{
    private const int Rows = 900_000;
    private const int Channels = 19;
    private string _csv = "";
    private string _parquet = "";

    /// <summary>Writes the log; the numbers come from a fixed seed.</summary>
    [GlobalSetup]
    public void WriteLog()
    {
        _csv = Path.Combine(Path.GetTempPath(), "import_benchmark.csv");
        _parquet = Path.ChangeExtension(_csv, ".parquet");
        Random random = new(1);
        using (StreamWriter writer = new(_csv, false, new UTF8Encoding(false), 1 << 16))
        {
            writer.Write("time [s]");
            for (int c = 0; c < Channels; c++)
            {
                writer.Write(string.Create(CultureInfo.InvariantCulture, $",channel {c} [N]"));
            }

            writer.Write('\n');
            Span<char> text = stackalloc char[32];
            for (int i = 0; i < Rows; i++)
            {
                (i / 1000.0).TryFormat(text, out int length, "F3", CultureInfo.InvariantCulture);
                writer.Write(text[..length]);
                for (int c = 0; c < Channels; c++)
                {
                    (random.Next(-999_999, 999_999) / 1000.0).TryFormat(text, out length, "F3", CultureInfo.InvariantCulture);
                    writer.Write(',');
                    writer.Write(text[..length]);
                }

                writer.Write('\n');
            }
        }

        ParquetLogWriter.Write(LogReader.Read(_csv, LogOptions.Default), _parquet);
    }

    /// <summary>Takes the files away again.</summary>
    [GlobalCleanup]
    public void DeleteLog()
    {
        File.Delete(_csv);
        File.Delete(_parquet);
    }

    /// <summary>The whole import from CSV.</summary>
    [Benchmark]
    public double ImportCsv() => LogReader.Read(_csv, LogOptions.Default).Channels[^1].Samples[^1];

    /// <summary>The import of two channels of the twenty.</summary>
    [Benchmark]
    public double ImportTwoColumns() =>
        LogReader.Read(_csv, new() { OnlyColumns = ["channel 3", "channel 18"] }).Channels[^1].Samples[^1];

    /// <summary>The import from our own Parquet.</summary>
    [Benchmark]
    public double ImportParquet() => LogReader.Read(_parquet, LogOptions.Default).Channels[^1].Samples[^1];

    /// <summary>The bare parse on one core: every field to a double, into columns of known length.</summary>
    [Benchmark(Baseline = true)]
    public double BareParseOneCore()
    {
        double[][] columns = new double[Channels + 1][];
        for (int c = 0; c < columns.Length; c++)
        {
            columns[c] = new double[Rows];
        }

        using CsvReader reader = CsvReader.FromFile(_csv, new() { Separator = ',' });
        int row = 0;
        while (reader.Read())
        {
            for (int c = 0; c < columns.Length; c++)
            {
                columns[c][row] = reader.Parse<double>(c);
            }

            row++;
        }

        return columns[^1][^1];
    }
}
