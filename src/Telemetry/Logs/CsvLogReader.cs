namespace Telemetry.Logs;

/// <summary>Reads a log from CSV text.</summary>
internal static class CsvLogReader
{
    /// <summary>Reads a log.</summary>
    /// <param name="source">UTF-8 text without a byte order mark.</param>
    /// <param name="path">Path for the run's name and for messages.</param>
    /// <param name="options">What the file leaves open.</param>
    /// <param name="partBytes">Size of the parts that are parsed at the same time.</param>
    /// <exception cref="InputError">The file is no log that can be trusted as it stands.</exception>
    public static RunLog Read(LogSource source, string path, LogOptions options, int partBytes)
    {
        string fileName = Path.GetFileName(path);
        byte[] head = CsvHead.Read(source, fileName);
        CsvLayout layout = new CsvLayoutFinder(fileName, options).Find(head);
        CsvData data = CsvData.Parse(source, head, fileName, layout, options, partBytes);
        LogFinding? cutOff = CsvFaults.Check(data);
        ParsedColumn[] columns = data.Join();
        return data.Rows > 0 ? CsvChannels.Make(data, columns, cutOff, path) : throw new InputError(
            data.Place(layout.HeaderLine), "There is a header but no whole row of data below it.", "Export the run again with its samples.");
    }
}
