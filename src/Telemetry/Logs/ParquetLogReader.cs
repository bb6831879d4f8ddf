namespace Telemetry.Logs;

internal static class ParquetLogReader
{
    public static RunLog Read(LogSource source, string path, LogOptions options) =>
        throw new InputError(Path.GetFileName(path), "Parquet is not read yet.", "Use CSV.");
}
