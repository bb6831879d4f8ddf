namespace Telemetry.Tests;

public class InputErrorTests
{
    [Fact]
    public void All_faults_of_a_file_stand_in_the_message_in_order()
    {
        InputError error = new([
            new InputFault("car.toml, line 3", "'2.95' has no unit.", "Write \"2.95 m\"."),
            new InputFault("car.toml, line 9", "mass is missing.", "Add it."),
        ]);
        Assert.Equal(2, error.Faults.Count);
        Assert.True(error.Message.IndexOf("line 3", StringComparison.Ordinal) < error.Message.IndexOf("line 9", StringComparison.Ordinal));
    }

    [Fact]
    public void An_error_without_a_fault_cannot_be_made() =>
        Assert.Throws<ArgumentException>(() => new InputError([]));
}
