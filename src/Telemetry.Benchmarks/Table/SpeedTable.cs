namespace Telemetry.Benchmarks.Table;

/// <summary>Measures what is measured in one process, takes in what the shell scripts measured, and writes the table: the command of table.sh.</summary>
internal static class SpeedTable
{
    /// <summary>Measures and writes.</summary>
    /// <param name="work">Folder of the logs and of what the scripts measured.</param>
    /// <param name="sources">Folder of this project: README and the peers' scripts.</param>
    public static void Write(string work, string sources)
    {
        // As the command does before it reads a log.
        Cli.FreshMemory.Ask();
        Roofline roofline = Roofline.Measure();
        List<TableRow> rows = [.. ProcessRows.WholeJob(work, roofline)];
        rows.AddRange(ImportRows.From(work, roofline));
        rows.AddRange(FilterRows.From(work, Path.Combine(sources, "sosfiltfilt-peer.py"), roofline));
        rows.AddRange(ProcessRows.Cycles(work, roofline));
        rows.AddRange(StageRows.From(work, roofline));
        rows.AddRange(ProcessRows.Growth(work));
        TableText.Write(Path.Combine(sources, "README.md"), rows, roofline);
    }
}
