using System.Text.RegularExpressions;
using Npgsql;

namespace Telemetry.Ledgers;

/// <summary>Where a ledger is: a file, or a PostgreSQL database.</summary>
public sealed partial class LedgerAddress
{
    private LedgerAddress(string? path, string? connection, string display)
    {
        Path = path;
        Connection = connection;
        Display = display;
    }

    /// <summary>The SQLite file; null for PostgreSQL.</summary>
    public string? Path { get; }

    /// <summary>The address as a person may read it: never with a password.</summary>
    public string Display { get; }

    /// <summary>Connection string of PostgreSQL, with its password; null for a file.</summary>
    internal string? Connection { get; }

    [GeneratedRegex(@"(^|;)\s*(host|server)\s*=", RegexOptions.IgnoreCase | RegexOptions.CultureInvariant)]
    private static partial Regex NamesHost { get; }

    /// <summary>Reads an address.</summary>
    /// <param name="text">A path; or "Host=...;Database=..." or "postgresql://user@host:port/database" for PostgreSQL, where a password is best left to PGPASSWORD or a password file.</param>
    /// <exception cref="InputError">The text looks like PostgreSQL and cannot be read as such.</exception>
    public static LedgerAddress Read(string text)
    {
        ArgumentException.ThrowIfNullOrEmpty(text);
        bool isUri = text.StartsWith("postgresql://", StringComparison.OrdinalIgnoreCase) || text.StartsWith("postgres://", StringComparison.OrdinalIgnoreCase);
        if (!isUri && !NamesHost.IsMatch(text))
        {
            return new(text, null, text);
        }

        NpgsqlConnectionStringBuilder builder;
        try
        {
            builder = isUri ? OfUri(text) : new(text);
        }
        catch (Exception error) when (error is ArgumentException or UriFormatException or FormatException or InvalidCastException or KeyNotFoundException or OverflowException)
        {
            // The parser's own words may repeat what was given, password and all.
            throw new InputError(
                "the address of the ledger",
                "it names a PostgreSQL server and cannot be read (it is not repeated here, because it may hold a password).",
                "Write \"Host=pitwall;Database=parts;Username=crew\" or postgresql://crew@pitwall:5432/parts.");
        }

        builder.ApplicationName ??= "pushrod";
        return new(null, builder.ConnectionString, $"postgresql://{(builder.Username is { } user ? user + "@" : "")}{builder.Host}:{builder.Port}/{builder.Database}");
    }

    /// <inheritdoc/>
    public override string ToString() => Display;

    private static NpgsqlConnectionStringBuilder OfUri(string text)
    {
        Uri uri = new(text);
        NpgsqlConnectionStringBuilder builder = new() { Host = uri.IdnHost.Length > 0 ? uri.IdnHost : "localhost" };
        if (uri.Port > 0)
        {
            builder.Port = uri.Port;
        }

        if (uri.AbsolutePath.Trim('/') is { Length: > 0 } database)
        {
            builder.Database = Uri.UnescapeDataString(database);
        }

        string[] who = uri.UserInfo.Split(':', 2);
        if (who[0].Length > 0)
        {
            builder.Username = Uri.UnescapeDataString(who[0]);
        }

        if (who.Length == 2)
        {
            builder.Password = Uri.UnescapeDataString(who[1]);
        }

        foreach (string pair in uri.Query.TrimStart('?').Split('&', StringSplitOptions.RemoveEmptyEntries))
        {
            string[] halves = pair.Split('=', 2);
            string value = halves.Length == 2 ? Uri.UnescapeDataString(halves[1]) : "";
            builder[Uri.UnescapeDataString(halves[0]) switch { "sslmode" => "SSL Mode", "sslrootcert" => "Root Certificate", "application_name" => "Application Name", "search_path" => "Search Path", string other => other }]
                = halves[0] == "sslmode" ? value.Replace("-", "", StringComparison.Ordinal) : value;
        }

        return builder;
    }
}
