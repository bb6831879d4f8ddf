using System.Data.Common;
using System.Globalization;
using Microsoft.Data.Sqlite;
using Npgsql;

namespace Telemetry.Ledgers;

/// <summary>The one way into a ledger's database: opens, begins, ends, and turns what the database says into words.</summary>
internal sealed class LedgerGate(LedgerAddress address)
{
    private static ReadOnlySpan<byte> SqliteMagic => "SQLite format 3\0"u8;

    public LedgerAddress Address => address;

    public Dialect Dialect { get; } = Dialect.Of(address);

    /// <summary>Makes sure that the tables are there and of this program's version.</summary>
    public void Prepare(DateTimeOffset nowUtc, bool mayMake)
    {
        if (address.Path is { } path)
        {
            RequireLedgerFile(path, mayMake);
        }

        int version = Read((connection, transaction) => VersionOf(connection, transaction));
        if (version == 0 && !mayMake)
        {
            throw NoSuchLedger();
        }

        if (version < LedgerSchema.Version)
        {
            // Another program may have made the tables since; under the lock the version is looked at again.
            Write((connection, transaction) =>
            {
                VersionOf(connection, transaction);
                LedgerMigrations.Bring(Dialect, connection, transaction, nowUtc);
                return true;
            });
        }
    }

    /// <exception cref="InputError">The database does not answer or its content cannot be read.</exception>
    public T Read<T>(Func<DbConnection, DbTransaction, T> work)
    {
        try
        {
            using DbConnection connection = Dialect.Connect();
            using DbTransaction transaction = Dialect.BeginRead(connection);
            return work(connection, transaction);
        }
        catch (Exception error) when (error is DbException or InvalidOperationException or TimeoutException or InvalidCastException or System.Net.Sockets.SocketException)
        {
            throw new InputError(address.Display, $"the ledger cannot be read: {Reason(error)}", address.Path is null ? "Check the address, the network and your rights." : "Name another file, correct its rights, or restore it from a copy.");
        }
    }

    /// <exception cref="IOException">The database refuses; nothing was written.</exception>
    public T Write<T>(Func<DbConnection, DbTransaction, T> work)
    {
        try
        {
            using DbConnection connection = Dialect.Connect();
            using DbTransaction transaction = Dialect.BeginWrite(connection);
            T result = work(connection, transaction);
            transaction.Commit();
            return result;
        }
        catch (Exception error) when (error is DbException or TimeoutException or System.Net.Sockets.SocketException)
        {
            throw new IOException(Reason(error).TrimEnd('.'), error);
        }
    }

    private int VersionOf(DbConnection connection, DbTransaction transaction)
    {
        if (Dialect.IsForeign(connection))
        {
            throw new InputError(address.Display, "is a database of something else, not a life ledger.", "Name a ledger, or a file that does not exist yet.");
        }

        int version = LedgerMigrations.VersionOf(Dialect, connection, transaction);
        return version <= LedgerSchema.Version ? version : throw new InputError(
            address.Display,
            string.Create(CultureInfo.InvariantCulture, $"its tables are of version {version}; this program knows up to {LedgerSchema.Version}."),
            "Use the newer program that wrote it; nothing was changed.");
    }

    private InputError NoSuchLedger() => new(address.Display, "There is no such ledger.", "Analyse a run with --ledger to start one.");

    private void RequireLedgerFile(string path, bool mayMake)
    {
        if (!File.Exists(path))
        {
            if (Directory.Exists(path))
            {
                throw new InputError(path, "is a folder.", "Name the ledger's file.");
            }

            if (!mayMake)
            {
                throw NoSuchLedger();
            }

            return;
        }

        byte[] head = new byte[SqliteMagic.Length];
        int length;
        try
        {
            using FileStream stream = new(path, FileMode.Open, FileAccess.Read, FileShare.ReadWrite | FileShare.Delete);
            length = stream.ReadAtLeast(head, head.Length, throwOnEndOfStream: false);
        }
        catch (Exception error) when (error is IOException or UnauthorizedAccessException)
        {
            throw new InputError(path, $"the ledger cannot be read: {error.Message}", "Name another file, or correct its rights.");
        }

        if (length > 0 && head.AsSpan(0, length).StartsWith("{\"life_ledger\""u8[..Math.Min(length, 14)]))
        {
            throw new InputError(path, "is a ledger of the old form, lines of text.", "Take it over once: pushrod life import OLD --ledger NEW, then use the new one.");
        }

        if (length > 0 && !head.AsSpan().SequenceEqual(SqliteMagic))
        {
            throw new InputError(path, "is no life ledger.", "Name a ledger that this program wrote, or a file that does not exist yet.");
        }
    }

    private static string Reason(Exception error) => error switch
    {
        SqliteException { SqliteErrorCode: 5 or 6 } => "another program holds it, and did not let go within a minute.",
        SqliteException { SqliteErrorCode: 8 } => "it may not be written to.",
        SqliteException { SqliteErrorCode: 11 or 26 } => "the file is damaged, or no ledger.",
        SqliteException { SqliteErrorCode: 13 } => "the disk is full.",
        SqliteException { SqliteErrorCode: 14 } => "the file cannot be opened.",
        PostgresException postgres => $"the server says: {postgres.MessageText}.",
        NpgsqlException { InnerException: { } inner } => $"the server does not answer: {inner.Message.TrimEnd('.')}.",
        _ => error.Message,
    };
}
