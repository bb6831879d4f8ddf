using System.Collections.Immutable;

namespace Telemetry.Output.Tables;

/// <summary>A table of a result: what the CSV files and the report show.</summary>
/// <param name="Name">File name without ending.</param>
/// <param name="Title">What it shows, for a reader.</param>
/// <param name="Columns">Columns.</param>
/// <param name="Rows">One array of cells a row, as long as the columns.</param>
public sealed record ResultTable(string Name, string Title, ImmutableArray<TableColumn> Columns, ImmutableArray<ImmutableArray<TableCell>> Rows);

/// <summary>A column.</summary>
/// <param name="Name">What it holds.</param>
/// <param name="Unit">Unit of its numbers; "-" for numbers without one; empty for text.</param>
/// <param name="Decimals">Decimals that a reader is shown; the CSV file carries seven significant digits.</param>
public sealed record TableColumn(string Name, string Unit, int Decimals = 0)
{
    /// <summary>The header: "name [unit]", or the name alone for text.</summary>
    public string Header => Unit.Length == 0 ? Name : $"{Name} [{Unit}]";

    /// <summary>True for numbers, which are set flush right.</summary>
    public bool IsNumber => Unit.Length > 0;
}

/// <summary>A cell: text, or a number in the column's unit.</summary>
public readonly record struct TableCell
{
    private TableCell(string? text, double number)
    {
        Text = text;
        Number = number;
    }

    /// <summary>The text, or null for a number.</summary>
    public string? Text { get; }

    /// <summary>The number; NaN means that there is none.</summary>
    public double Number { get; }

    /// <summary>A cell of text.</summary>
    public static implicit operator TableCell(string text) => new(text, double.NaN);

    /// <summary>A cell with a number; NaN for an empty one.</summary>
    public static implicit operator TableCell(double number) => new(null, number);

    /// <summary>A cell with a number, or an empty one.</summary>
    public static implicit operator TableCell(double? number) => new(null, number ?? double.NaN);

    /// <summary>A cell of text; the operator by name.</summary>
    public static TableCell FromString(string text) => text;

    /// <summary>A cell with a number; the operator by name.</summary>
    public static TableCell FromDouble(double number) => number;
}
