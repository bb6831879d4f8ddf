using System.Collections.Immutable;
using Telemetry.Output.Tables;
using static Telemetry.Output.NumberText;

namespace Telemetry.Output.Report;

/// <summary>Pieces that several sections of the report are made of.</summary>
internal static class ReportParts
{
    /// <summary>Text up to this length, such as a serial number, is never broken: hyphens would break it into a column of crumbs.</summary>
    private const int BriefText = 20;

    /// <summary>Longer text than this gets a wide column.</summary>
    private const int LongText = 40;

    /// <summary>A column with longer text than this has no column: each text stands below its row, over the whole width, or the row would be tall and empty where it is first looked at.</summary>
    private const int TextForItsOwnLine = 90;

    /// <summary>More columns than this are set smaller on paper, where a table cannot be scrolled.</summary>
    private const int ManyColumns = 9;

    /// <summary>More columns than this get a sheet of paper in landscape.</summary>
    private const int SidewaysColumns = 16;

    /// <summary>The style's class of a tone.</summary>
    public static string Class(Tone tone) => tone switch
    {
        Tone.Alarm => "stop",
        Tone.Warning => "warn",
        Tone.Good => "good",
        _ => "plain",
    };

    /// <summary>A table with units under its headings; long ones are cut with a line that names the file with the rest.</summary>
    /// <param name="table">The table.</param>
    /// <param name="columns">Names of the columns to show, in their order; null for all.</param>
    /// <param name="mostRows">Rows to show.</param>
    /// <param name="tone">Gives a text cell its tone; null for none.</param>
    public static Html Table(ResultTable table, string[]? columns = null, int mostRows = int.MaxValue, Func<TableColumn, string, Tone>? tone = null)
    {
        if (table.Rows.IsEmpty)
        {
            return Html.None;
        }

        int[] shown = columns is null
            ? [.. Enumerable.Range(0, table.Columns.Length)]
            : [.. columns.Select(name => table.Columns.Select((column, i) => (column, i)).First(pair => pair.column.Name == name).i)];
        int[] below = [.. shown.Where(i => table.Rows.Take(mostRows).Any(row => row[i].Text?.Length > TextForItsOwnLine))];
        shown = [.. shown.Except(below)];
        Html head = Html.Join(shown.Select(i => table.Columns[i] is { IsNumber: true } column
            ? Html.Of($"<th scope=\"col\" class=\"n\">{Sentence(column.Name)}{(column.Unit is "" or "-" ? Html.None : Html.Of($"<span class=\"unit\">{column.Unit}</span>"))}</th>")
            : Html.Of($"<th scope=\"col\">{Sentence(table.Columns[i].Name)}</th>")));
        Html rows = Html.Join(table.Rows.Take(mostRows).Select(row => Html.Of(
            $"<tr>{Html.Join(shown.Select(i => Cell(table.Columns[i], row[i], tone)))}</tr>{Said(table.Columns, row, below, shown.Length)}")));
        Html rest = table.Rows.Length > mostRows
            ? Html.Of($"<p class=\"muted small\">The first {mostRows} of {table.Rows.Length} rows; all of them are in tables/{table.Name}.csv.</p>")
            : Html.None;
        // The tabindex lets a keyboard scroll a table that is wider than the screen (WCAG 2.2, 2.1.1).
        return Html.Of($"""
            <div class="scroll{(shown.Length + below.Length > ManyColumns ? " many" : "")}{(shown.Length + below.Length > SidewaysColumns ? " sideways" : "")}" data-table="{table.Name}" tabindex="0" role="region" aria-label="{table.Title}"><table><caption>{table.Title}</caption><thead><tr>{head}</tr></thead><tbody>{rows}</tbody></table></div>{rest}
            """);
    }

    /// <summary>The table behind a picture, folded away.</summary>
    public static Html Behind(string summary, ResultTable table, int mostRows) => table.Rows.IsEmpty
        ? Html.None
        : Html.Of($"<details><summary>{summary}</summary>{Table(table, mostRows: mostRows)}</details>");

    /// <summary>Sentences as a list; nothing for none.</summary>
    public static Html Notes(ImmutableArray<string> notes) => notes.IsDefaultOrEmpty
        ? Html.None
        : Html.Of($"<ul class=\"notes\">{Html.Join(notes.Select(note => Html.Of($"<li>{note}</li>")))}</ul>");

    /// <summary>Why an answer is missing.</summary>
    public static Html Withheld(string? reason) => reason is null
        ? Html.None
        : Html.Of($"<p><b class=\"warn\">Withheld.</b> {reason}</p>");

    /// <summary>The pictures with those names that there are, in that order.</summary>
    public static Html Pictures(ReportFigures figures, Func<string, bool> wanted) =>
        Html.Join(figures.Pictures.Where(picture => wanted(picture.Name)).Select(picture => Html.Of(
            $"<figure data-still=\"{picture.Name}\"{(figures.Live.Contains(picture.Name) ? Html.Constant(" data-has-live=\"yes\"") : Html.None)}><img alt=\"{picture.Description}\" src=\"data:image/png;base64,{Html.Base64(picture.Png)}\"><figcaption>plots/{picture.Name}.png and .svg</figcaption></figure>")));

    /// <summary>The long texts of a row, each with its column's name, on a line of their own that stays in sight while the table is scrolled.</summary>
    private static Html Said(ImmutableArray<TableColumn> columns, ImmutableArray<TableCell> row, int[] below, int width)
    {
        Html lines = Html.Join(below.Where(i => !string.IsNullOrEmpty(row[i].Text)).Select(i => Html.Of($"<div><b>{Sentence(columns[i].Name)}:</b> {row[i].Text}</div>")));
        return below.All(i => string.IsNullOrEmpty(row[i].Text)) ? Html.None : Html.Of($"<tr class=\"said\"><td colspan=\"{width}\">{lines}</td></tr>");
    }

    private static Html Cell(TableColumn column, TableCell cell, Func<TableColumn, string, Tone>? tone)
    {
        if (cell.Text is null)
        {
            return Html.Of($"<td class=\"n\">{(column.Decimals > 4 ? Small(cell.Number) : Fixed(cell.Number, column.Decimals))}</td>");
        }

        string name = Class(tone?.Invoke(column, cell.Text) ?? Tone.Plain);
        return cell.Text.Length switch
        {
            <= BriefText => Html.Of($"<td class=\"text brief {name}\">{cell.Text}</td>"),
            > LongText => Html.Of($"<td class=\"text long {name}\">{cell.Text}</td>"),
            _ => Html.Of($"<td class=\"text {name}\">{cell.Text}</td>"),
        };
    }

    private static string Sentence(string name) => name.Length == 0 ? name : char.ToUpperInvariant(name[0]) + name[1..];
}
