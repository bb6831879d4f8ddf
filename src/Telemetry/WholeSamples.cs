namespace Telemetry;

/// <summary>All samples of a channel at once, see <see cref="SampleSource.Whole"/>. Must be disposed of once, by who asked for it, when no span of it is used any more.</summary>
internal readonly struct WholeSamples(double[] samples, int length, bool isBorrowed) : IDisposable
{
    /// <summary>The samples.</summary>
    public ReadOnlySpan<double> Span => samples.AsSpan(0, length);

    /// <summary>Gives borrowed room back.</summary>
    public void Dispose()
    {
        if (isBorrowed)
        {
            LongRoom<double>.Pool.Return(samples);
        }
    }
}
