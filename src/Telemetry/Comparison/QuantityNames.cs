namespace Telemetry.Comparison;

/// <summary>Names of the compared quantities as a reader sees them.</summary>
public static class QuantityNames
{
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
