namespace Telemetry;

/// <summary>A stretch of samples on the run's clock.</summary>
/// <param name="First">Index of the first sample.</param>
/// <param name="Count">How many samples, at least one.</param>
public readonly record struct SampleSpan(int First, int Count)
{
    /// <summary>Index just past the last sample.</summary>
    public int End => First + Count;
}
