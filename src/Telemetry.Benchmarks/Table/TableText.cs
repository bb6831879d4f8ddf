using System.Globalization;
using System.Text;

namespace Telemetry.Benchmarks.Table;

/// <summary>Writes the table between its two marks in the README; every other line stays as it is.</summary>
internal static class TableText
{
    private const string Begin = "<!-- table: begin, written by table.sh -->";
    private const string End = "<!-- table: end -->";

    /// <summary>Replaces the table.</summary>
    /// <param name="readme">The file; it holds both marks.</param>
    /// <param name="rows">The rows, in their order.</param>
    /// <param name="roofline">The memory's bandwidth.</param>
    /// <exception cref="InvalidOperationException">A mark is missing.</exception>
    public static void Write(string readme, IReadOnlyList<TableRow> rows, Roofline roofline)
    {
        string text = File.ReadAllText(readme);
        int from = text.IndexOf(Begin, StringComparison.Ordinal);
        int to = text.IndexOf(End, StringComparison.Ordinal);
        if (from < 0 || to < from)
        {
            throw new InvalidOperationException($"{readme} does not hold '{Begin}' and, below it, '{End}'.");
        }

        string table = Of(rows, roofline);
        File.WriteAllText(readme, text[..(from + Begin.Length)] + "\n" + table + text[to..]);
        Console.Write(table);
    }

    private static string Of(IReadOnlyList<TableRow> rows, Roofline roofline)
    {
        string date = DateTime.UtcNow.ToString("yyyy-MM-dd", CultureInfo.InvariantCulture);
        string machine = string.Create(CultureInfo.InvariantCulture, $"{roofline.Cores} x {Processor()}");
        StringBuilder table = new();
        table.Append(CultureInfo.InvariantCulture, $"Memory bandwidth: {roofline.OneCore / 1e9:0.0} GB/s on one core, {roofline.AllCores / 1e9:0.0} GB/s on {roofline.Cores}. .NET {Environment.Version}, {System.Runtime.InteropServices.RuntimeInformation.OSDescription.Trim()}. Load of the machine as the table was written (1, 5, 15 min): {Load()}.\n\n");
        table.Append("| task | input | ours | peer | ratio of medians (of bests) | moved at the interface, share of bandwidth | both reached | machine | date |\n|---|---|---|---|---|---|---|---|---|\n");
        foreach (TableRow row in rows)
        {
            table.Append(CultureInfo.InvariantCulture, $"| {row.Task} | {row.Input} | {row.Ours} | {row.Peer} | {row.Ratio} | {row.Moved} | {row.Reached} | {machine} | {date} |\n");
        }

        return table.ToString();
    }

    private static string Processor()
    {
        const string Key = "model name";
        string? line = File.Exists("/proc/cpuinfo") ? File.ReadLines("/proc/cpuinfo").FirstOrDefault(line => line.StartsWith(Key, StringComparison.Ordinal)) : null;
        return line is null ? System.Runtime.InteropServices.RuntimeInformation.ProcessArchitecture.ToString() : line[(line.IndexOf(':', StringComparison.Ordinal) + 1)..].Trim();
    }

    private static string Load() => File.Exists("/proc/loadavg") ? string.Join(", ", File.ReadAllText("/proc/loadavg").Split(' ')[..3]) : "not known";
}
