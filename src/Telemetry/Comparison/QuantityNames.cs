namespace Telemetry.Comparison;

/// <summary>Names of the compared quantities as a reader sees them.</summary>
public static class QuantityNames
{
    /// <summary>True for a lift area, which says the same as the load at one speed and density.</summary>
    public static bool IsOfArea(ComparedKind kind) => kind is ComparedKind.FrontLiftArea or ComparedKind.RearLiftArea or ComparedKind.TotalLiftArea;

    /// <summary>The verdict on a difference in a word or two: "real", "not shown", "contradicted" or "in doubt".</summary>
    public static string Verdict(QuantityDifference difference)
    {
        ArgumentNullException.ThrowIfNull(difference);
        return difference.IsReal ? "real" : difference.IsContradicted ? "contradicted" : difference.IsInDoubt ? "in doubt" : "not shown";
    }

    /// <summary>The verdict as the end of a sentence.</summary>
    public static string VerdictInWords(QuantityDifference difference)
    {
        ArgumentNullException.ThrowIfNull(difference);
        return difference.IsReal ? "a real change" : difference.IsContradicted ? "contradicted by the runs' own estimates" : difference.IsInDoubt ? "in doubt" : "no change is shown";
    }

    /// <summary>The name, in the singular, with a capital letter.</summary>
    public static string Of(ComparedKind kind) => kind switch
    {
        ComparedKind.FrontLoad => "Front load",
        ComparedKind.RearLoad => "Rear load",
        ComparedKind.TotalLoad => "Total load",
        ComparedKind.FrontLiftArea => "Front lift area",
        ComparedKind.RearLiftArea => "Rear lift area",
        ComparedKind.TotalLiftArea => "Total lift area",
        ComparedKind.Balance => "Balance front",
        ComparedKind.FrontRideHeight => "Front ride height",
        ComparedKind.RearRideHeight => "Rear ride height",
        ComparedKind.DragArea => "Drag area at equal power",
        _ => throw new ArgumentOutOfRangeException(nameof(kind)),
    };
}
