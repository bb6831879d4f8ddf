using Telemetry.Comparison;

namespace Telemetry.Output.Compared;

/// <summary>Units in which a comparison is shown.</summary>
internal static class ComparedUnits
{
    /// <summary>Unit and multiplier into it.</summary>
    public static (string Unit, double Factor) Of(ComparedKind kind) => kind switch
    {
        ComparedKind.FrontLoad or ComparedKind.RearLoad or ComparedKind.TotalLoad => ("N", 1),
        ComparedKind.FrontRideHeight or ComparedKind.RearRideHeight => ("mm", NumberText.MmPerM),
        ComparedKind.Balance => ("%", 1),
        _ => ("m2", 1),
    };

    /// <summary>A number with its sign.</summary>
    public static string Signed(double value, int decimals)
    {
        string text = NumberText.Fixed(value, decimals);
        return value > 0 && text.AsSpan().IndexOfAnyInRange('1', '9') >= 0 ? "+" + text : text;
    }

    /// <summary>A difference with its interval: "+0.031 (+0.012 to +0.050)".</summary>
    public static string Change(Estimate estimate, double factor = 1)
    {
        int decimals = NumberText.Decimals(estimate.HalfWidth * factor);
        return $"{Signed(estimate.Value * factor, decimals)} ({Signed(estimate.Low95 * factor, decimals)} to {Signed(estimate.High95 * factor, decimals)})";
    }

    /// <summary>A probability in % that never claims certainty.</summary>
    public static string Probability(double share) =>
        share >= 0.9995 ? "over 99.9 %" : share < 0.0005 ? "under 0.1 %" : NumberText.Fixed(100 * share, share is > 0.99 or < 0.01 ? 1 : 0) + " %";
}
