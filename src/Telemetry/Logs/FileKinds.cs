namespace Telemetry.Logs;

/// <summary>Says what a file is that is neither CSV nor Parquet, from the first bytes that its format prescribes.</summary>
internal static class FileKinds
{
    private const string Unpack = "Unpack it and read the CSV or Parquet file inside.";
    private const string Export = "Name the run's log; if this is all there is, export the run as CSV or Parquet again.";

    /// <summary>
    /// Signatures as their own specifications state them: ISO/IEC 15948 5.2 (PNG), ITU-T T.81 B.1.1 (JPEG), ISO 32000-1 7.5.2 (PDF),
    /// APPNOTE 4.3.7 (ZIP), HDF5 III.A; RFC 8878 3.1.1 (Zstandard); the rest from memory.
    /// </summary>
    private static readonly (byte[] Start, string Kind, string Remedy)[] Kinds =
    [
        ([0x89, .. "PNG\r\n\u001a\n"u8], "a PNG picture", Export),
        ([0xFF, 0xD8, 0xFF], "a JPEG picture", Export),
        ([.. "GIF8"u8], "a GIF picture", Export),
        ([.. "%PDF-"u8], "a PDF document", Export),
        ([.. "PK\u0003\u0004"u8], "a ZIP archive (or a spreadsheet or document, which are ZIP archives inside)", "Unpack it, or save the sheet as CSV, and read that."),
        ([0xD0, 0xCF, 0x11, 0xE0, 0xA1, 0xB1, 0x1A, 0xE1], "a spreadsheet or document of the older binary kind", "Save the sheet as CSV and read that."),
        ([0x89, .. "HDF\r\n\u001a\n"u8], "an HDF5 file", Export),
        ([.. "CDF\u0001"u8], "a netCDF file", Export),
        ([.. "CDF\u0002"u8], "a netCDF file", Export),
        ([.. "SQLite format 3\0"u8], "an SQLite database", Export),
        ([.. "ARROW1\0\0"u8], "an Arrow file", "Write it as Parquet and read that."),
        ([.. "FEA1"u8], "an Arrow file of the older kind", "Write it as Parquet and read that."),
        ([.. "Obj\u0001"u8], "an Avro file", "Write it as Parquet and read that."),
        ([.. "PARE"u8], "an encrypted Parquet file", "Write it without encryption and read that."),
        ([0x28, 0xB5, 0x2F, 0xFD], "a file packed with Zstandard", Unpack),
        ([0xFD, .. "7zXZ\0"u8], "a file packed with XZ", Unpack),
        ([.. "BZh"u8, (byte)'9'], "a file packed with bzip2", Unpack),
        ([.. "7z"u8, 0xBC, 0xAF, 0x27, 0x1C], "a 7z archive", Unpack),
        ([.. "Rar!\u001a\u0007"u8], "a RAR archive", Unpack),
        ([0x04, 0x22, 0x4D, 0x18], "a file packed with LZ4", Unpack),
        ([0x7F, .. "ELF"u8], "a program", Export),
        ([.. "MZ"u8, 0x90, 0x00], "a program", Export),
        ([.. "{\\rtf"u8], "a text document with formatting (RTF)", "Save the table as CSV and read that."),
        ([.. "<!DOCTYPE html"u8], "a web page", "Download the file itself: a page that asks for a login often comes in its place."),
        ([.. "<html"u8], "a web page", "Download the file itself: a page that asks for a login often comes in its place."),
        ([.. "<?xml"u8], "an XML file", Export),
    ];

    /// <summary>Refuses a file whose kind is known and is no log.</summary>
    /// <exception cref="InputError">The file is of such a kind.</exception>
    public static void Refuse(LogSource source, string fileName)
    {
        Span<byte> start = stackalloc byte[16];
        start = start[..source.Read(0, start)];
        foreach ((byte[] signature, string kind, string remedy) in Kinds)
        {
            if (start.StartsWith(signature))
            {
                throw new InputError(fileName, $"This is {kind}, whatever its name says; a log is CSV or Parquet.", remedy);
            }
        }

        if (EndsAsParquet(source))
        {
            throw new InputError(
                fileName,
                "The file ends as a Parquet file does (PAR1) and does not begin as one: its start is damaged or missing.",
                "Copy it again from where it was written.");
        }
    }

    /// <summary>True for a name that promises Parquet: the message then says that the bytes do not keep it.</summary>
    public static bool IsNamedParquet(string fileName) =>
        fileName.EndsWith(".parquet", StringComparison.OrdinalIgnoreCase) || fileName.EndsWith(".parquet.gz", StringComparison.OrdinalIgnoreCase);

    private static bool EndsAsParquet(LogSource source)
    {
        Span<byte> end = stackalloc byte[4];
        return source.Length > 12 && source.Read(source.Length - 4, end) == 4 && end.SequenceEqual("PAR1"u8);
    }
}
