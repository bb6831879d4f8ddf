using System.Collections.Immutable;

namespace Telemetry.Ledgers;

/// <summary>Kind of a column's values.</summary>
internal enum ColumnKind
{
    /// <summary>Whole number (also 0 and 1 for no and yes).</summary>
    Integer,

    /// <summary>Finite double, kept to the last bit.</summary>
    Real,

    /// <summary>Text; times are UTC in ISO 8601, so that they sort as text.</summary>
    Text,
}

/// <summary>A column.</summary>
internal sealed record LedgerColumn(string Name, ColumnKind Kind, bool IsOptional = false)
{
    /// <summary>SQL that both databases take: SQLite reads the affinities INTEGER, REAL and TEXT from these names.</summary>
    public string Definition =>
        $"{Name} {Kind switch { ColumnKind.Integer => "BIGINT", ColumnKind.Real => "DOUBLE PRECISION", _ => "TEXT" }}{(IsOptional ? "" : " NOT NULL")}";
}

/// <summary>A table: one description from which its SQL, its export and its import are made.</summary>
internal sealed record LedgerTable(string Name, ImmutableArray<LedgerColumn> Columns, ImmutableArray<string> Constraints)
{
    public string Create => $"CREATE TABLE {Name} ({string.Join(", ", Columns.Select(column => column.Definition).Concat(Constraints))})";

    public string Insert => $"INSERT INTO {Name} ({Names}) VALUES ({string.Join(", ", Columns.Select((_, i) => $"@p{i}"))})";

    public string Select => $"SELECT {Names} FROM {Name} ORDER BY {Key}";

    private string Names => string.Join(", ", Columns.Select(column => column.Name));

    /// <summary>The primary key, in the order of which rows are read.</summary>
    private string Key => Constraints.First(constraint => constraint.StartsWith("PRIMARY KEY (", StringComparison.Ordinal))["PRIMARY KEY (".Length..^1];
}
