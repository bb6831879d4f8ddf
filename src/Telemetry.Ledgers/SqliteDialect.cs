using System.Data.Common;
using System.Globalization;
using Microsoft.Data.Sqlite;

namespace Telemetry.Ledgers;

/// <summary>SQLite: one file.</summary>
/// <remarks>
/// A rollback journal, not a write-ahead log: between writes the ledger is one file that can be copied. synchronous=EXTRA also forces the folder to the disk when the journal
/// goes, so that a commit that was reported survives a loss of power. BEGIN IMMEDIATE takes the one writer's lock before anything is read.
/// </remarks>
internal sealed class SqliteDialect(string path) : Dialect
{
    /// <summary>How long a writer waits for another, s: many times a write.</summary>
    private const int BusyTimeoutS = 60;

    public override string BeforeAppendOnly => "";

    public override DbConnection Connect()
    {
        SqliteConnection connection = new(new SqliteConnectionStringBuilder
        {
            DataSource = path,
            Mode = SqliteOpenMode.ReadWriteCreate,
            ForeignKeys = true,
            Pooling = false,
            DefaultTimeout = BusyTimeoutS,
        }.ConnectionString);
        try
        {
            connection.Open();
            using SqliteCommand command = connection.CreateCommand();
            command.CommandText = string.Create(CultureInfo.InvariantCulture, $"PRAGMA busy_timeout = {1000 * BusyTimeoutS}; PRAGMA synchronous = EXTRA; PRAGMA trusted_schema = OFF;");
            command.ExecuteNonQuery();
            return connection;
        }
        catch
        {
            connection.Dispose();
            throw;
        }
    }

    public override DbTransaction BeginWrite(DbConnection connection) => ((SqliteConnection)connection).BeginTransaction(deferred: false);

    public override DbTransaction BeginRead(DbConnection connection) => ((SqliteConnection)connection).BeginTransaction(deferred: true);

    public override bool HasTable(DbConnection connection, string table) =>
        Scalar(connection, "SELECT COUNT(*) FROM sqlite_master WHERE type = 'table' AND name = @p0", table) is long and > 0;

    public override bool IsForeign(DbConnection connection) =>
        !HasTable(connection, LedgerSchema.Schema.Name) && Scalar(connection, "SELECT COUNT(*) FROM sqlite_master") is long and > 0;

    public override string AppendOnly(string table) =>
        $"CREATE TRIGGER {table}_no_update BEFORE UPDATE ON {table} BEGIN SELECT RAISE(ABORT, 'the life ledger is only added to'); END;"
        + $"CREATE TRIGGER {table}_no_delete BEFORE DELETE ON {table} BEGIN SELECT RAISE(ABORT, 'the life ledger is only added to'); END;";

    public override IReadOnlyList<string> CheckStorage(DbConnection connection)
    {
        List<string> found = [];
        using DbCommand command = connection.CreateCommand();
        command.CommandText = "PRAGMA integrity_check";
        using (DbDataReader reader = command.ExecuteReader())
        {
            while (reader.Read())
            {
                if (reader.GetString(0) is not "ok" and string problem)
                {
                    found.Add("The file is damaged: " + problem);
                }
            }
        }

        command.CommandText = "PRAGMA foreign_key_check";
        using DbDataReader broken = command.ExecuteReader();
        while (broken.Read())
        {
            found.Add($"A row of {broken.GetString(0)} refers to one of {broken.GetString(2)} that is not there.");
        }

        return found;
    }
}
