using System.Data.Common;

namespace Telemetry.Ledgers;

/// <summary>The SQL that both databases take: whole tables in, rows out, always with parameters.</summary>
internal static class LedgerSql
{
    public static void Execute(DbConnection connection, DbTransaction transaction, string sql)
    {
        using DbCommand command = Command(connection, transaction, sql);
        command.ExecuteNonQuery();
    }

    public static object? Scalar(DbConnection connection, DbTransaction transaction, string sql, params object?[] values)
    {
        using DbCommand command = Command(connection, transaction, sql);
        Bind(command, values);
        return command.ExecuteScalar() is { } value and not DBNull ? value : null;
    }

    public static void Insert(DbConnection connection, DbTransaction transaction, LedgerTable table, IReadOnlyCollection<object?[]> rows)
    {
        if (rows.Count == 0)
        {
            return;
        }

        using DbCommand command = Command(connection, transaction, table.Insert);
        foreach (object?[] row in rows)
        {
            Bind(command, row);
            command.ExecuteNonQuery();
        }
    }

    public static void Read(DbConnection connection, DbTransaction transaction, LedgerTable table, List<object?[]> rows)
    {
        using DbCommand command = Command(connection, transaction, table.Select);
        using DbDataReader reader = command.ExecuteReader();
        while (reader.Read())
        {
            object?[] row = new object?[table.Columns.Length];
            for (int i = 0; i < row.Length; i++)
            {
                row[i] = reader.IsDBNull(i) ? null : table.Columns[i].Kind switch
                {
                    ColumnKind.Integer => reader.GetInt64(i),
                    ColumnKind.Real => reader.GetDouble(i),
                    _ => reader.GetString(i),
                };
            }

            rows.Add(row);
        }
    }

    private static DbCommand Command(DbConnection connection, DbTransaction transaction, string sql)
    {
        DbCommand command = connection.CreateCommand();
        command.Transaction = transaction;
#pragma warning disable CA2100 // The text comes from the table descriptions of this folder; what a person gave is only ever a parameter.
        command.CommandText = sql;
#pragma warning restore CA2100
        return command;
    }

    private static void Bind(DbCommand command, object?[] values)
    {
        command.Parameters.Clear();
        for (int i = 0; i < values.Length; i++)
        {
            DbParameter parameter = command.CreateParameter();
            parameter.ParameterName = FormattableString.Invariant($"@p{i}");
            parameter.Value = values[i] ?? DBNull.Value;
            command.Parameters.Add(parameter);
        }
    }
}
