using System.Collections.Immutable;

namespace Telemetry.Logs;

/// <summary>One run of a long log: which rows of it.</summary>
/// <param name="StartS">Time of its first row, s as the log counts (for dates: from its first row).</param>
/// <param name="EndS">Time of its last row, s.</param>
/// <param name="TopSpeedMps">Highest speed in it, m/s.</param>
/// <param name="FromByte">Where its first row begins in the log, unpacked.</param>
/// <param name="ToByte">Where the row behind its last one begins.</param>
public sealed record CutRun(double StartS, double EndS, double TopSpeedMps, long FromByte, long ToByte);

/// <summary>How a long log is cut into runs: every row belongs to exactly one.</summary>
/// <param name="Path">The log.</param>
/// <param name="HeadBytes">Bytes above the first row: preamble, header, units. Each run begins with them.</param>
/// <param name="TextBytes">Length of the log, unpacked, when it was planned.</param>
/// <param name="Runs">The runs in the order of the log; one when there is nowhere to cut.</param>
public sealed record CutPlan(string Path, int HeadBytes, long TextBytes, ImmutableArray<CutRun> Runs)
{
    /// <summary>Name of the log: the file's name without its endings, as that of a run.</summary>
    public string Name => LogReader.RunName(Path);
}
