using Telemetry.Fatigue;
using Telemetry.Ledger;

namespace Telemetry.Tests.Ledger;

public sealed class LifeLedgerTests : IDisposable
{
    private readonly string folder = Directory.CreateTempSubdirectory("ledger").FullName;

    private string Path => System.IO.Path.Combine(folder, "parts.ledger");

    public void Dispose() => Directory.Delete(folder, recursive: true);

    [Fact]
    public void A_file_that_does_not_exist_is_an_empty_ledger() => Assert.Empty(LifeLedger.Read(Path).Runs);

    [Fact]
    public void A_ledger_of_the_old_form_reads_as_it_stands()
    {
        File.WriteAllText(Path, LedgerDatabaseTests<SqlitePlace>.OldLedger);
        LifeLedger ledger = LifeLedger.Read(Path);
        Assert.Equal(["run1", "run2"], ledger.Runs.Select(run => run.Run));
        ComponentEntry part = ledger.Runs[1].Components.Single();
        Assert.Equal(0.25, part.Damage);
        Assert.Equal([1500, -700, 200], part.ResidueN.AsSpan());
        Assert.Equal(ComponentVerdict.Inspect, part.Verdict);
        Assert.Null(ledger.Runs[1].StartedAtUtc);
    }

    [Theory]
    [InlineData("", "line 1")]
    [InlineData("car = 1", "line 1")]
    [InlineData("{\"life_ledger\":2}", "format 2")]
    [InlineData("{\"life_ledger\":1}\n{\"run\":\"a\"", "line 2")]
    [InlineData("{\"life_ledger\":1}\n\n", "line 2")]
    [InlineData("{\"life_ledger\":1}\nnull", "line 2")]
    [InlineData("{\"life_ledger\":1}\n{\"run\":\"a\",\"log_hash\":\"h\",\"started_at_utc\":null,\"components\":[],\"colour\":1}", "line 2")]
    public void A_damaged_ledger_is_refused_with_its_line(string text, string named)
    {
        File.WriteAllText(Path, text);
        InputError error = Assert.Throws<InputError>(() => LifeLedger.Read(Path));
        Assert.Contains(named, error.Message, StringComparison.Ordinal);
    }

    [Fact]
    public void All_damaged_lines_are_named_together_and_a_log_that_stands_twice_is_one_of_them()
    {
        File.WriteAllText(Path, LedgerDatabaseTests<SqlitePlace>.OldLedger);
        string line = File.ReadAllLines(Path)[1];
        File.AppendAllLines(Path, ["{}", line]);
        InputError error = Assert.Throws<InputError>(() => LifeLedger.Read(Path));
        Assert.Equal(2, error.Faults.Count);
        Assert.Contains("line 4", error.Message, StringComparison.Ordinal);
        Assert.Contains("line 5", error.Message, StringComparison.Ordinal);
    }

    [Fact]
    public void A_folder_named_as_ledger_is_refused() => Assert.Throws<InputError>(() => LifeLedger.Read(folder));
}
