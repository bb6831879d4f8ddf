using System.Data.Common;

namespace Telemetry.Ledgers;

/// <summary>What the two databases do not say alike. All other SQL is the same for both.</summary>
internal abstract class Dialect
{
    /// <summary>Opens a connection.</summary>
    public abstract DbConnection Connect();

    /// <summary>Begins to write: no other writer is let in until the end, and all that was committed before is seen.</summary>
    public abstract DbTransaction BeginWrite(DbConnection connection);

    /// <summary>Begins to read one state of the whole, whatever is written meanwhile.</summary>
    public abstract DbTransaction BeginRead(DbConnection connection);

    /// <summary>True when a table of this name is there.</summary>
    public abstract bool HasTable(DbConnection connection, string table);

    /// <summary>True when the database holds what is no ledger's, so that nothing may be put beside it.</summary>
    public abstract bool IsForeign(DbConnection connection);

    /// <summary>Statements, once for the database, that <see cref="AppendOnly"/> needs.</summary>
    public abstract string BeforeAppendOnly { get; }

    /// <summary>Statements that make a table refuse every change but new rows.</summary>
    public abstract string AppendOnly(string table);

    /// <summary>What the database itself finds wrong with its storage; empty when nothing.</summary>
    public abstract IReadOnlyList<string> CheckStorage(DbConnection connection);

    /// <summary>The dialect of an address.</summary>
    public static Dialect Of(LedgerAddress address) => address.Path is { } path ? new SqliteDialect(path) : new PostgresDialect(address.Connection!);

    protected static object? Scalar(DbConnection connection, string sql, string? text = null)
    {
        using DbCommand command = connection.CreateCommand();
        command.CommandText = sql;
        if (text is not null)
        {
            DbParameter parameter = command.CreateParameter();
            parameter.ParameterName = "@p0";
            parameter.Value = text;
            command.Parameters.Add(parameter);
        }

        return command.ExecuteScalar();
    }
}
