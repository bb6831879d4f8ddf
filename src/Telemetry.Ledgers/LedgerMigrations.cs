using System.Data.Common;
using System.Globalization;

namespace Telemetry.Ledgers;

/// <summary>Brings the tables of a ledger to the version that this program writes, whole or not at all.</summary>
internal static class LedgerMigrations
{
    /// <summary>Version of a ledger's tables; 0 when there are none.</summary>
    public static int VersionOf(Dialect dialect, DbConnection connection, DbTransaction transaction) =>
        dialect.HasTable(connection, LedgerSchema.Schema.Name)
            ? Convert.ToInt32(LedgerSql.Scalar(connection, transaction, "SELECT MAX(version) FROM life_schema") ?? 0, CultureInfo.InvariantCulture)
            : 0;

    /// <summary>Puts in what the versions from the present one to the wanted one brought.</summary>
    /// <param name="dialect">The database.</param>
    /// <param name="connection">Open, with the writer's lock taken.</param>
    /// <param name="transaction">Holds the lock.</param>
    /// <param name="nowUtc">When.</param>
    /// <param name="wanted">The version to stop at.</param>
    public static void Bring(Dialect dialect, DbConnection connection, DbTransaction transaction, DateTimeOffset nowUtc, int wanted = LedgerSchema.Version)
    {
        for (int version = VersionOf(dialect, connection, transaction) + 1; version <= wanted; version++)
        {
            foreach (LedgerTable table in LedgerSchema.AddedBy(version))
            {
                LedgerSql.Execute(connection, transaction, table.Create);
            }

            if (version == 2)
            {
                // From here on the database itself refuses to change or to delete a row.
                if (dialect.BeforeAppendOnly.Length > 0)
                {
                    LedgerSql.Execute(connection, transaction, dialect.BeforeAppendOnly);
                }

                foreach (LedgerTable table in LedgerSchema.Content.Add(LedgerSchema.Schema))
                {
                    LedgerSql.Execute(connection, transaction, dialect.AppendOnly(table.Name));
                }
            }

            LedgerSql.Insert(connection, transaction, LedgerSchema.Schema, [[(long)version, RowText.Of(nowUtc)]]);
        }
    }
}
