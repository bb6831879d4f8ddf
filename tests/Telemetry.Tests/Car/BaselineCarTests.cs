using Telemetry.Car;

namespace Telemetry.Tests.Car;

public class BaselineCarTests
{
    private static readonly string File = Path.Combine(Repository.Root, "sample-runs", "baseline", "car.toml");

    [Fact]
    public void The_sample_car_has_no_fault_and_no_warning_and_carries_every_answer()
    {
        CarFileCheck check = CarFile.Check(File);
        Assert.Empty(check.Faults);
        Assert.Empty(check.Warnings);
        Assert.NotNull(check.Car);
        Assert.All(check.Answers, a => Assert.Empty(a.Missing));
    }
}
