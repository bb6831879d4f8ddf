using System.Collections.Immutable;
using Telemetry.Car;

namespace Telemetry.WheelLoads;

/// <summary>Reads the load on a component from the loads of the car.</summary>
internal static class LoadTerms
{
    /// <summary>The signal that a term names, N, one value a sample of the clock; default or empty when the log has none.</summary>
    public static ImmutableArray<double> Signal(this LoadTerm term, WheelLoadSet wheels) =>
        term.Source == LoadSource.WheelLoad ? wheels.LoadN[term.Corner] : wheels.Pushrods.PushrodLoadN[term.Corner];

    /// <summary>Sum of factor times signal over a span of samples, N; NaN where a term has none.</summary>
    /// <param name="terms">The terms.</param>
    /// <param name="wheels">The loads.</param>
    /// <param name="from">First sample.</param>
    /// <param name="sum">Receives the loads; its length is that of the span.</param>
    public static void Sum(ImmutableArray<LoadTerm> terms, WheelLoadSet wheels, int from, Span<double> sum)
    {
        sum.Clear();
        foreach (LoadTerm term in terms)
        {
            ImmutableArray<double> whole = term.Signal(wheels);
            if (whole.IsDefaultOrEmpty)
            {
                sum.Fill(double.NaN);
                return;
            }

            ReadOnlySpan<double> signal = whole.AsSpan(from, sum.Length);
            double factor = term.Factor;
            for (int i = 0; i < sum.Length; i++)
            {
                sum[i] += factor * signal[i];
            }
        }
    }
}
