using Telemetry.Car;

namespace Telemetry.Tests.Car;

public class CarTextChangesTests
{
    private const string Text = """
        name = "A"
        [mass]
        fuel_at_start = "40 kg"
        [shims]
        steps = ["0.5 mm", "1 mm"]
        [[components]]
        id = "P1"
        limit = "12 kN"
        [[components]]
        id = "P2"
        limit = "13 kN"
        """;

    [Fact]
    public void A_file_does_not_differ_from_itself_in_another_layout() =>
        Assert.Empty(CarTextChanges.Between(Text, "# words\n" + Text.Replace(" = ", "=", StringComparison.Ordinal)));

    [Fact]
    public void A_value_a_list_a_new_and_a_lost_field_are_each_told()
    {
        string after = Text.Replace("40 kg", "25 kg", StringComparison.Ordinal).Replace("\"1 mm\"", "\"2 mm\"", StringComparison.Ordinal).Replace("name = \"A\"", "note = \"B\"", StringComparison.Ordinal);
        Assert.Equal(
            [("note", null, "B"), ("mass.fuel_at_start", "40 kg", "25 kg"), ("shims.steps", "0.5 mm, 1 mm", "0.5 mm, 2 mm"), ("name", "A", null)],
            CarTextChanges.Between(Text, after).Select(change => (change.Field, change.From, change.To)));
    }

    [Fact]
    public void A_part_is_known_by_its_name_and_not_by_its_place()
    {
        string swapped = Text.Replace("[[components]]\nid = \"P1\"\nlimit = \"12 kN\"\n", "", StringComparison.Ordinal) + "\n[[components]]\nid = \"P1\"\nlimit = \"11 kN\"\n";
        Assert.Equal([("components[P1].limit", "12 kN", "11 kN")], CarTextChanges.Between(Text.ReplaceLineEndings("\n"), swapped.ReplaceLineEndings("\n")).Select(change => (change.Field, change.From, change.To)));
    }

    [Fact]
    public void Text_that_is_no_car_file_is_no_fault() => Assert.NotEmpty(CarTextChanges.Between("= ] [", Text));
}
