using System.Data;
using System.Data.Common;
using Npgsql;

namespace Telemetry.Ledgers;

/// <summary>PostgreSQL: a ledger that several machines share.</summary>
/// <remarks>Writers take an advisory lock of the schema first, so that they come one after the other and each sees what was committed before it.</remarks>
internal sealed class PostgresDialect(string connectionString) : Dialect
{
    /// <summary>First key of the advisory lock, "life" in ASCII; the second is the schema's.</summary>
    private const string Lock = "SELECT pg_advisory_xact_lock(1818846821, hashtext(current_schema()))";

    /// <summary>How long to wait for a connection and for another writer, s, where the address does not say: many times a write, also on a busy server.</summary>
    private const int PatienceS = 60;

    public override string BeforeAppendOnly =>
        "CREATE FUNCTION life_only_added_to() RETURNS trigger LANGUAGE plpgsql AS $$ BEGIN RAISE EXCEPTION 'the life ledger is only added to'; END $$;";

    public override DbConnection Connect()
    {
        // One connection of a short command: a pool would outlive it. The slim builder leaves out what needs reflection.
        NpgsqlConnectionStringBuilder settings = new(connectionString) { Pooling = false };
        DbConnectionStringBuilder said = new() { ConnectionString = connectionString };
        settings.Timeout = said.ContainsKey("Timeout") ? settings.Timeout : PatienceS;
        settings.CommandTimeout = said.ContainsKey("Command Timeout") ? settings.CommandTimeout : PatienceS;
        NpgsqlSlimDataSourceBuilder builder = new(settings.ConnectionString);
        builder.EnableTransportSecurity();
        return builder.Build().OpenConnection();
    }

    public override DbTransaction BeginWrite(DbConnection connection)
    {
        DbTransaction transaction = connection.BeginTransaction(IsolationLevel.ReadCommitted);
        try
        {
            Scalar(connection, Lock);
            return transaction;
        }
        catch
        {
            transaction.Dispose();
            throw;
        }
    }

    public override DbTransaction BeginRead(DbConnection connection) => connection.BeginTransaction(IsolationLevel.RepeatableRead);

    public override bool HasTable(DbConnection connection, string table) =>
        Scalar(connection, "SELECT COUNT(*) FROM pg_tables WHERE schemaname = current_schema() AND tablename = @p0", table) is long and > 0;

    /// <summary>Other tables may stand beside the ledger's: all names of the ledger begin with "life_".</summary>
    public override bool IsForeign(DbConnection connection) => false;

    public override string AppendOnly(string table) =>
        $"CREATE TRIGGER {table}_only_added_to BEFORE UPDATE OR DELETE OR TRUNCATE ON {table} FOR EACH STATEMENT EXECUTE FUNCTION life_only_added_to();";

    public override IReadOnlyList<string> CheckStorage(DbConnection connection) => [];
}
