using System.Collections.Immutable;
using Telemetry.Car;
using Telemetry.Logs;

namespace Telemetry.Runs;

/// <summary>A channel with a role, in SI and in our sign, with what was done to it.</summary>
/// <param name="Role">What it means.</param>
/// <param name="SourceName">Its name in the log; for a derived channel, what it was derived from.</param>
/// <param name="Time">When each sample was taken.</param>
/// <param name="Samples">One value a sample, SI as <see cref="ChannelRole"/> states; NaN where the log has none.</param>
/// <param name="Steps">What was done to the numbers since the file, oldest first.</param>
public sealed record Channel(
    ChannelRole Role,
    string SourceName,
    TimeBase Time,
    SampleSource Samples,
    ImmutableArray<ProcessingStep> Steps)
{
    /// <summary>True when the numbers were low-passed, in the logger or here.</summary>
    public bool IsLowPassed => Steps.Any(step => step is LowPassed or LowPassedInLogger);
}
