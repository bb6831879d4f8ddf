using Telemetry.Logs;

namespace Telemetry.Tests.Logs;

/// <summary>Tests that count what the whole process allocates, and so run alone.</summary>
[CollectionDefinition(nameof(MeasuredMemory), DisableParallelization = true)]
public sealed class MeasuredMemory;

/// <summary>Every file of the table is read right or refused with place, finding and remedy, in bounded memory.</summary>
[Collection(nameof(MeasuredMemory))]
public class HostileFilesTests
{
    public static TheoryData<string> Names => [.. HostileFiles.All.Keys];

    [Theory]
    [MemberData(nameof(Names))]
    public void A_hostile_file_is_read_right_or_refused(string name)
    {
        HostileFile file = HostileFiles.All[name];
        using LogSource source = file.Make();
        long before = GC.GetTotalAllocatedBytes(precise: true);
        RunLog? log = null;
        InputError? error = null;
        try
        {
            log = LogReader.Read(source, file.FileName, file.Options);
        }
        catch (InputError refused)
        {
            error = refused;
        }

        long megabytes = (GC.GetTotalAllocatedBytes(precise: true) - before) >> 20;
        Assert.True(megabytes <= file.MostMegabytes, $"{megabytes} MB were allocated.");
        if (file.Refused is var (where, found, remedy))
        {
            Assert.True(error is not null, "The file was read.");
            Assert.EndsWith(where, error.Faults[0].Where, StringComparison.Ordinal);
            Assert.Contains(found, error.Faults[0].Found, StringComparison.Ordinal);
            Assert.Contains(remedy, error.Faults[0].Remedy, StringComparison.OrdinalIgnoreCase);
            Assert.All(error.Faults, fault => Assert.DoesNotContain('\n', fault.ToString()));
            return;
        }

        Assert.True(error is null, error?.Message);
        if (file.X is var (times, samples))
        {
            LoggedChannel x = log!.Find("x")!;
            Assert.Equal(samples, x.Samples.AsEnumerable());
            Assert.Equal(times.Length, x.Time.Count);
            for (int i = 0; i < times.Length; i++)
            {
                Assert.Equal(times[i], x.Time.At(i), 9);
            }

            Assert.Equal(file.Findings, log.Findings.Where(finding => finding.Kind != LogFindingKind.Note).Select(finding => finding.Kind));
            Assert.True(file.Note is null or "" || log.Findings.Any(finding => finding.Message.Contains(file.Note, StringComparison.Ordinal)), string.Join('\n', log.Findings));
        }
    }

    [Fact]
    public void Every_file_of_the_published_and_the_small_sets_has_a_stance()
    {
        // What each must give stands in CsvCasesTests and ParquetReadingTests; here, that none of them fails in another way.
        string[] files =
        [
            .. Directory.GetFiles(Repository.Data("csv"), "*.csv", SearchOption.AllDirectories),
            .. Directory.GetFiles(Repository.Data("parquet"), "*.parquet", SearchOption.AllDirectories),
            .. Directory.GetFiles(Repository.Data("real_logs"), "*.csv"),
        ];
        Assert.True(files.Length >= 85);
        int read = 0;
        foreach (string file in files)
        {
            try
            {
                Assert.NotEmpty(LogReader.Read(file, LogOptions.Default).Channels);
                read++;
            }
            catch (InputError error)
            {
                Assert.All(error.Faults, fault => Assert.InRange(fault.ToString().Length, 30, 600));
            }
        }

        Assert.InRange(read, 20, files.Length);
    }
}
