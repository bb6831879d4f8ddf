using Telemetry.Car;
using Telemetry.Comparison;

namespace Telemetry.Output;

/// <summary>The fields of the car file that a comparison of two runs looks at, as the summary holds them.</summary>
internal static class CarBasis
{
    public static SummaryCar Of(CarDefinition car)
    {
        CarStatement statement = CarStatement.Of(car);
        return new(
            car.Name,
            [.. statement.Basis.Select(field => new SummaryField(field.Name, field.Value))],
            [.. statement.Setup.Select(field => new SummaryField(field.Name, field.Value))]);
    }
}
