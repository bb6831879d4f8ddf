using System.Collections.Immutable;
using System.Diagnostics;
using Npgsql;
using Telemetry.Ledger;
using Telemetry.Ledgers;

namespace Telemetry.Tests.Ledger;

/// <summary>A place for ledgers that goes with the test: a folder of SQLite files, or schemas of a PostgreSQL server.</summary>
public interface ILedgerPlace : IDisposable
{
    /// <summary>The address of a ledger that is not there yet.</summary>
    string NewAddress();

    /// <summary>Runs SQL past the ledger, as the database's own command-line tool; returns what it printed.</summary>
    string Outside(string address, string sql);

    /// <summary>Waits until no other process of this name works on the database any more.</summary>
    void AwaitQuiet(string address);
}

public sealed class SqlitePlace : ILedgerPlace
{
    private readonly string folder = Directory.CreateTempSubdirectory("ledger").FullName;
    private int made;

    public void Dispose() => Directory.Delete(folder, recursive: true);

    public string NewAddress() => Path.Combine(folder, FormattableString.Invariant($"parts{made++}.db"));

    public string Outside(string address, string sql)
    {
        using Microsoft.Data.Sqlite.SqliteConnection connection = new($"Data Source={address};Pooling=False");
        connection.Open();
        using Microsoft.Data.Sqlite.SqliteCommand command = connection.CreateCommand();
        command.CommandText = sql;
        return command.ExecuteScalar()?.ToString() ?? "";
    }

    public void AwaitQuiet(string address)
    {
        // A killed process holds no lock of a file.
    }
}

/// <summary>Needs a server: TELEMETRY_POSTGRES holds its connection string (".ci/with-postgres dotnet test ..." starts one).</summary>
public sealed class PostgresPlace : ILedgerPlace
{
    private readonly string? server = Environment.GetEnvironmentVariable("TELEMETRY_POSTGRES");
    private readonly string schema = "t" + Guid.NewGuid().ToString("N");
    private readonly List<string> schemas = [];

    public PostgresPlace() => Assert.SkipWhen(string.IsNullOrEmpty(server), "No PostgreSQL server: run the tests as '.ci/with-postgres dotnet test ...', or set TELEMETRY_POSTGRES to a connection string.");

    public void Dispose()
    {
        foreach (string made in schemas)
        {
            Execute(server!, $"DROP SCHEMA {made} CASCADE");
        }
    }

    public string NewAddress()
    {
        string name = FormattableString.Invariant($"{schema}_{schemas.Count}");
        Execute(server!, $"CREATE SCHEMA {name}");
        schemas.Add(name);
        return $"{server};Search Path={name};Application Name={name}";
    }

    public string Outside(string address, string sql) => Execute(address, sql);

    public void AwaitQuiet(string address)
    {
        string name = new NpgsqlConnectionStringBuilder(address).ApplicationName!;
        Stopwatch waited = Stopwatch.StartNew();
        while (Execute(server!, $"SELECT COUNT(*) FROM pg_stat_activity WHERE application_name = '{name}'") != "0")
        {
            Assert.True(waited.Elapsed < TimeSpan.FromSeconds(30), "the server does not let go of a killed process");
            Thread.Sleep(2);
        }
    }

    private static string Execute(string address, string sql)
    {
        using NpgsqlConnection connection = new(address + ";Pooling=false");
        connection.Open();
        using NpgsqlCommand command = new(sql, connection);
        return Convert.ToString(command.ExecuteScalar(), System.Globalization.CultureInfo.InvariantCulture) ?? "";
    }
}

public sealed class SqliteLedgerTests : LedgerDatabaseTests<SqlitePlace>;

public sealed class PostgresLedgerTests : LedgerDatabaseTests<PostgresPlace>;

/// <summary>What a ledger does, the same on both databases.</summary>
public abstract class LedgerDatabaseTests<TPlace> : IDisposable
    where TPlace : ILedgerPlace, new()
{
    private const string Hostile = "PR-1'; DROP TABLE life_entry; --\t\"=1+1\r\n\u202e%s{0}é漢\U0001F9F0";

    private readonly TPlace place = new();

    public void Dispose()
    {
        place.Dispose();
        GC.SuppressFinalize(this);
    }

    private static LedgerDatabase Open(string address) => LedgerDatabase.Open(LedgerAddress.Read(address), LedgerRuns.Now);

    private static RecordedRun Record(LedgerDatabase ledger, RunFigures run) => ledger.Record(run, LedgerRuns.CarText, LedgerRuns.Now);

    [Fact]
    public void Everything_that_was_entered_reads_back_to_the_last_digit()
    {
        LedgerDatabase ledger = Open(place.NewAddress());
        RunFigures run = LedgerRuns.At(7, LedgerRuns.Run("a", LedgerRuns.Part("P", 1.0 / 3, 0.1, -2e-300, 5e300), LedgerRuns.Part("Q", double.Epsilon) with { PeakTensionN = null, Corner = null }));
        Record(ledger, run);
        LedgerEntry fit = ledger.Enter(LedgerRuns.Mark(EntryKind.Fit, Hostile) with { Car = Hostile, Corner = "FL", Text = Hostile, By = Hostile });
        LedgerContent back = ledger.Read();
        Assert.Equal(2, back.Entries.Length);
        RunFigures read = back.Entries[0].Run!;
        Assert.Equal(run with { Laps = [], Parts = [], Readings = [] }, read with { Laps = [], Parts = [], Readings = [] });
        Assert.Equal(run.Laps.AsEnumerable(), read.Laps);
        Assert.Equal(run.Readings.AsEnumerable(), read.Readings);
        foreach ((PartFigures expected, PartFigures found) in run.Parts.Zip(read.Parts))
        {
            Assert.Equal(expected with { OpenPointsN = [], DamageByLap = [] }, found with { OpenPointsN = [], DamageByLap = [] });
            Assert.Equal(expected.OpenPointsN.AsSpan(), found.OpenPointsN.AsSpan());
            Assert.Equal(expected.DamageByLap.AsSpan(), found.DamageByLap.AsSpan());
        }

        Assert.Equal(fit, back.Entries[1]);
        Assert.Equal(2, fit.Number);
        Assert.Equal(LedgerRuns.CarText, back.CarTexts[LedgerRuns.CarHash]);
        Assert.Empty(ledger.Verify());
    }

    [Fact]
    public void The_same_analysis_again_changes_nothing_and_another_one_replaces_and_keeps_the_history()
    {
        LedgerDatabase ledger = Open(place.NewAddress());
        RunFigures run = LedgerRuns.At(0, LedgerRuns.Run("a", LedgerRuns.Part("P", 0.25)));
        Assert.Equal(RecordOutcome.Added, Record(ledger, run).Outcome);
        Assert.Equal(RecordOutcome.Unchanged, Record(ledger, run with { Run = "renamed" }).Outcome);
        Assert.Equal(RecordOutcome.Replaced, Record(ledger, run with { Settings = "spikes removed", Parts = [LedgerRuns.Part("P", 0.125)] }).Outcome);
        Assert.Equal(RecordOutcome.Replaced, Record(ledger, run).Outcome);
        Assert.Equal(RecordOutcome.Replaced, Record(ledger, run with { Parts = [LedgerRuns.Part("P", 0.5)] }).Outcome);
        LedgerContent content = ledger.Read();
        Assert.Equal(4, content.Entries.Length);
        Assert.Equal(0.5, content.State.Of("P")!.Damage);
        Assert.Equal(3, content.State.Runs.Single().Earlier.Length);
        Assert.Empty(ledger.Verify());
    }

    [Fact]
    public void A_run_that_comes_late_names_the_runs_behind_it_and_moves_the_stored_sum()
    {
        LedgerDatabase ledger = Open(place.NewAddress());
        string part = LedgerRuns.PartsOfCar[0];
        Record(ledger, LedgerRuns.At(10, LedgerRuns.Run("b", LedgerRuns.Part(part, 0.25, 0, 9000, 1000))));
        RecordedRun late = Record(ledger, LedgerRuns.At(0, LedgerRuns.Run("a", LedgerRuns.Part(part, 0.125, 500, 12_000, -3000))));
        Assert.Equal(["run b"], late.LaterRuns);
        PartLife life = ledger.Read().State.Of(part)!;
        Assert.Equal(["a", "b"], life.Runs.Select(run => run.Place.Entry.Run!.LogHash));
        Assert.True(life.Damage > 0.375);
        Assert.Empty(ledger.Verify());
    }

    [Fact]
    public void Corrections_move_the_sum_and_delete_nothing()
    {
        LedgerDatabase ledger = Open(place.NewAddress());
        Record(ledger, LedgerRuns.Run("a", LedgerRuns.Part("P", 0.25)));
        Record(ledger, LedgerRuns.Run("b", LedgerRuns.Part("P", 0.5), LedgerRuns.Part("Q", 0.5)));
        LedgerEntry correction = ledger.Enter(new() { Kind = EntryKind.Correct, Corrects = 2, Text = "log of the other car", AtUtc = LedgerRuns.Now, EnteredAtUtc = LedgerRuns.Now });
        Assert.Equal(0.25, ledger.Read().State.Of("P")!.Damage);
        Assert.Null(ledger.Read().State.Of("Q"));
        Assert.Equal(3, ledger.Read().Entries.Length);
        Assert.Empty(ledger.Verify());
        Assert.Throws<InputError>(() => ledger.Enter(new() { Kind = EntryKind.Correct, Corrects = 2, AtUtc = LedgerRuns.Now, EnteredAtUtc = LedgerRuns.Now }));
        Assert.Throws<InputError>(() => ledger.Enter(new() { Kind = EntryKind.Correct, Corrects = 77, AtUtc = LedgerRuns.Now, EnteredAtUtc = LedgerRuns.Now }));

        // The struck-out analysis may be entered again, and a correction may be taken back.
        Assert.Equal(RecordOutcome.Replaced, Record(ledger, LedgerRuns.Run("b", LedgerRuns.Part("P", 0.5), LedgerRuns.Part("Q", 0.5))).Outcome);
        ledger.Enter(new() { Kind = EntryKind.Correct, Corrects = correction.Number, AtUtc = LedgerRuns.Now, EnteredAtUtc = LedgerRuns.Now });
        ledger.Enter(LedgerRuns.Mark(EntryKind.Charge, "P") with { Damage = 0.125 });
        Assert.Equal(0.875, ledger.Read().State.Of("P")!.Damage);
        Assert.Empty(ledger.Verify());
    }

    [Fact]
    public void The_database_itself_refuses_to_change_or_delete_a_row()
    {
        string address = place.NewAddress();
        LedgerDatabase ledger = Open(address);
        Record(ledger, LedgerRuns.Run("a", LedgerRuns.Part("P", 0.25)));
        foreach (LedgerTable table in LedgerSchema.Content)
        {
            Assert.Contains("only added to", Assert.ThrowsAny<System.Data.Common.DbException>(() => place.Outside(address, $"DELETE FROM {table.Name}")).Message, StringComparison.Ordinal);
            Assert.Contains("only added to", Assert.ThrowsAny<System.Data.Common.DbException>(() => place.Outside(address, $"UPDATE {table.Name} SET {table.Columns[0].Name} = {table.Columns[0].Name}")).Message, StringComparison.Ordinal);
        }

        Assert.Equal("0.25", place.Outside(address, "SELECT SUM(closed_damage) FROM life_run_part"));
    }

    [Theory]
    [InlineData("life_part_sum", "damage = 0.2", "0.25")]
    [InlineData("life_run_part", "closed_damage = 0.2", "another hash")]
    [InlineData("life_car_file", "text = 'x'", "car file")]
    [InlineData("life_run", "revision = 2", "revisions have a gap")]
    public void Verify_names_what_was_changed_past_the_ledger(string table, string change, string named)
    {
        string address = place.NewAddress();
        LedgerDatabase ledger = Open(address);
        Record(ledger, LedgerRuns.Run("a", LedgerRuns.Part("P", 0.25)));
        Assert.Empty(ledger.Verify());
        foreach (string way in typeof(TPlace) == typeof(SqlitePlace) ? (string[])[$"DROP TRIGGER {table}_no_update"] : [$"ALTER TABLE {table} DISABLE TRIGGER USER"])
        {
            place.Outside(address, way);
        }

        place.Outside(address, $"UPDATE {table} SET {change}");
        Assert.Contains(ledger.Verify(), fault => fault.Contains(named, StringComparison.Ordinal));
    }

    [Fact]
    public void A_ledger_of_an_older_version_is_brought_forward_with_all_that_it_holds()
    {
        string address = place.NewAddress();
        LedgerGate gate = new(LedgerAddress.Read(address));
        RunFigures run = LedgerRuns.Run("a", LedgerRuns.Part("P", 0.25)) with { Readings = [] };
        LedgerRows rows = new();
        rows.Of(LedgerSchema.CarFiles).Add([LedgerRuns.CarHash, LedgerRuns.CarText]);
        rows.Add(LedgerRuns.Entry(1, run), 1);
        rows.Of(LedgerSchema.Sums).Add([1L, "P", 0.25, 0.0, null]);
        gate.Write((connection, transaction) =>
        {
            LedgerMigrations.Bring(gate.Dialect, connection, transaction, LedgerRuns.Now, wanted: 1);
            foreach (LedgerTable table in LedgerSchema.Content.Where(table => table != LedgerSchema.Readings))
            {
                LedgerSql.Insert(connection, transaction, table, rows.Of(table));
            }

            return true;
        });
        Assert.Equal("1", place.Outside(address, "SELECT MAX(version) FROM life_schema"));
        LedgerDatabase ledger = Open(address);
        Assert.Equal("2", place.Outside(address, "SELECT MAX(version) FROM life_schema"));
        Assert.Equal(0.25, ledger.Read().State.Of("P")!.Damage);
        Assert.Empty(ledger.Verify());
        Record(ledger, LedgerRuns.Run("b", LedgerRuns.Part("P", 0.5)));
        Assert.Equal("2", place.Outside(address, "SELECT COUNT(*) FROM life_run_reading"));
    }

    [Fact]
    public void A_ledger_of_a_newer_version_is_refused_and_left_alone()
    {
        string address = place.NewAddress();
        Open(address);
        place.Outside(address, "INSERT INTO life_schema VALUES (3, '2027-01-01T00:00:00.0000000Z')");
        InputError error = Assert.Throws<InputError>(() => Open(address));
        Assert.Contains("version 3; this program knows up to 2", error.Message, StringComparison.Ordinal);
        Assert.Contains("newer program", error.Message, StringComparison.Ordinal);
    }

    [Theory]
    [InlineData(ExportForm.Csv)]
    [InlineData(ExportForm.Parquet)]
    public void An_export_imports_into_an_empty_ledger_as_the_same_and_into_no_other(ExportForm form)
    {
        LedgerDatabase ledger = Open(place.NewAddress());
        Record(ledger, LedgerRuns.At(0, LedgerRuns.Run("a", LedgerRuns.Part(Hostile, 1.0 / 3, 1000, -500), LedgerRuns.Part("=cmd", 1e-300))));
        Record(ledger, LedgerRuns.Run("b", LedgerRuns.Part("'quoted", 0.5)));
        ledger.Enter(LedgerRuns.Mark(EntryKind.Inspect, "=cmd") with { Text = "-looks, \"good\"\nline" });
        string folder = Directory.CreateTempSubdirectory("export").FullName;
        try
        {
            LedgerContent content = ledger.Read();
            LedgerExport.Write(content, Path.Combine(folder, "out"), form);
            Assert.Equal(LedgerSchema.Content.Length, Directory.GetFiles(Path.Combine(folder, "out")).Length);
            LedgerDatabase other = Open(place.NewAddress());
            Assert.Equal(3, LedgerImport.Folder(Path.Combine(folder, "out"), other));
            LedgerContent back = other.Read();
            foreach (LedgerTable table in LedgerSchema.Content)
            {
                Assert.Equal(content.Rows.Of(table), back.Rows.Of(table));
            }

            Assert.Empty(other.Verify());
            Assert.Contains("has entries already", Assert.Throws<InputError>(() => LedgerImport.Folder(Path.Combine(folder, "out"), other)).Message, StringComparison.Ordinal);
            Assert.Throws<IOException>(() => LedgerExport.Write(content, Path.Combine(folder, "out"), form));
            if (form == ExportForm.Csv)
            {
                string csv = File.ReadAllText(Path.Combine(folder, "out", "life_run_part.csv"));
                Assert.Contains(",'=cmd,", csv, StringComparison.Ordinal);
                Assert.DoesNotContain(",=cmd", csv, StringComparison.Ordinal);
                File.WriteAllText(Path.Combine(folder, "out", "life_run_part.csv"), csv.Replace("0.3333333333333333", "0.1", StringComparison.Ordinal));
                Assert.Contains("another hash", Assert.Throws<InputError>(() => LedgerImport.Folder(Path.Combine(folder, "out"), Open(place.NewAddress()))).Message, StringComparison.Ordinal);
            }
        }
        finally
        {
            Directory.Delete(folder, recursive: true);
        }
    }

    [Fact]
    public void Runs_of_the_old_form_are_taken_over_once()
    {
        LedgerDatabase ledger = Open(place.NewAddress());
        string path = Path.GetTempFileName();
        try
        {
            File.WriteAllText(path, OldLedger);
            Assert.Equal((2, 2), LedgerImport.OldForm(path, ledger, LedgerRuns.Now));
            Assert.Equal((0, 2), LedgerImport.OldForm(path, ledger, LedgerRuns.Now));
            Assert.Equal(0.375, ledger.Read().State.Of("PR-1")!.Damage);
            Assert.Empty(ledger.Verify());
        }
        finally
        {
            File.Delete(path);
        }
    }

    internal const string OldLedger =
        """
        {"life_ledger":1}
        {"run":"run1","log_hash":"aa","started_at_utc":"2026-03-01T10:00:00+00:00","components":[{"id":"PR-1","damage":0.125,"residue_damage":0.0625,"residue_n":[1000,-500],"peak_compression_n":9000,"peak_tension_n":null,"peak_is_lower_bound":false,"exceeded_limit":false,"verdict":"Run"}]}
        {"run":"run2","log_hash":"bb","started_at_utc":null,"components":[{"id":"PR-1","damage":0.25,"residue_damage":0.03125,"residue_n":[1500,-700,200],"peak_compression_n":9500,"peak_tension_n":100,"peak_is_lower_bound":false,"exceeded_limit":true,"verdict":"Inspect"}]}

        """;
}
