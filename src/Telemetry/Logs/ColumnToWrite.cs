namespace Telemetry.Logs;

/// <summary>A channel on its way into a Parquet file.</summary>
/// <param name="Name">Name of the column.</param>
/// <param name="Unit">Unit after scaling.</param>
/// <param name="Time">When its samples lie.</param>
/// <param name="Samples">The samples before scaling.</param>
/// <param name="Scale">Factor to the unit, each number then rounded to single precision; null for the numbers as they are.</param>
internal sealed record ColumnToWrite(string Name, string Unit, TimeBase Time, SampleSource Samples, double? Scale = null);
