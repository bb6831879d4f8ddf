using System.Runtime.InteropServices;
using System.Runtime.Intrinsics;

namespace Telemetry.Logs;

/// <summary>Numbers scaled and rounded to single precision, several at a time.</summary>
internal static class SinglePrecision
{
    /// <summary>Scales numbers and rounds them to the nearest of single precision, as a cast does.</summary>
    /// <param name="values">The numbers.</param>
    /// <param name="scale">What each is multiplied by.</param>
    /// <param name="singles">Receives the rounded products; as long as <paramref name="values"/>.</param>
    /// <param name="readBack">Receives the same as doubles: what a reader of the singles will have; as long as <paramref name="values"/>.</param>
    public static void Of(ReadOnlySpan<double> values, double scale, Span<float> singles, Span<double> readBack)
    {
        ReadOnlySpan<Vector256<double>> from = MemoryMarshal.Cast<double, Vector256<double>>(values);
        Span<Vector256<float>> rounded = MemoryMarshal.Cast<float, Vector256<float>>(singles[..values.Length]);
        Span<Vector256<double>> back = MemoryMarshal.Cast<double, Vector256<double>>(readBack[..values.Length]);
        for (int i = 0; i < rounded.Length; i++)
        {
            Vector256<float> eight = Vector256.Narrow(from[2 * i] * scale, from[(2 * i) + 1] * scale);
            rounded[i] = eight;
            (back[2 * i], back[(2 * i) + 1]) = Vector256.Widen(eight);
        }

        for (int i = rounded.Length * Vector256<float>.Count; i < values.Length; i++)
        {
            singles[i] = (float)(values[i] * scale);
            readBack[i] = singles[i];
        }
    }
}
