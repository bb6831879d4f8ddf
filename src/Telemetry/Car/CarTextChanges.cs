using System.Collections.Immutable;
using System.Globalization;

namespace Telemetry.Car;

/// <summary>A field that differs between two car files.</summary>
/// <param name="Field">Path of the field as a person would point at it: <c>setup.ride_height.front</c>, <c>components[PR-FL-07].scatter_factor</c>.</param>
/// <param name="From">The value in the first file as it is written there; null where it has none.</param>
/// <param name="To">The value in the second; null where it has none.</param>
public sealed record CarTextChange(string Field, string? From, string? To);

/// <summary>What was changed between two car files, field by field, whatever the field is for.</summary>
public static class CarTextChanges
{
    /// <summary>Fields by which the entries of a list of tables are known, so that one more part in the middle does not change all behind it.</summary>
    private static readonly string[] Names = ["id", "name", "corner", "channel"];

    /// <summary>The fields that differ, in the order of the second file; those that only the first has come last.</summary>
    /// <param name="before">Text of the first file; what is no TOML in it is left out.</param>
    /// <param name="after">Text of the second.</param>
    /// <returns>Empty when the files say the same, in whatever layout and with whatever comments.</returns>
    public static ImmutableArray<CarTextChange> Between(string before, string after)
    {
        ArgumentNullException.ThrowIfNull(before);
        ArgumentNullException.ThrowIfNull(after);
        List<(string Field, string Value)> first = Leaves(before), second = Leaves(after);
        Dictionary<string, string> old = ByField(first), current = ByField(second);
        return
        [
            .. second.DistinctBy(leaf => leaf.Field).Where(leaf => !old.TryGetValue(leaf.Field, out string? was) || was != current[leaf.Field])
                .Select(leaf => new CarTextChange(leaf.Field, old.GetValueOrDefault(leaf.Field), current[leaf.Field])),
            .. first.DistinctBy(leaf => leaf.Field).Where(leaf => !current.ContainsKey(leaf.Field)).Select(leaf => new CarTextChange(leaf.Field, old[leaf.Field], null)),
        ];
    }

    private static Dictionary<string, string> ByField(List<(string Field, string Value)> leaves)
    {
        Dictionary<string, string> values = new(StringComparer.Ordinal);
        foreach ((string field, string value) in leaves)
        {
            values.TryAdd(field, value);
        }

        return values;
    }

    private static List<(string Field, string Value)> Leaves(string text)
    {
        List<(string, string)> leaves = [];
        Walk(CarTree.Parse(text, new CarFaultList("")), "", leaves);
        return leaves;
    }

    private static void Walk(CarNode node, string path, List<(string, string)> leaves)
    {
        switch (node)
        {
            case CarTable table:
                foreach ((string name, _, CarNode value) in table.Entries)
                {
                    Walk(value, path.Length == 0 ? name : $"{path}.{name}", leaves);
                }

                break;
            case CarList list when list.Items.Any(item => item is CarTable):
                for (int i = 0; i < list.Items.Count; i++)
                {
                    Walk(list.Items[i], $"{path}[{NameOf(list.Items[i]) ?? (i + 1).ToString(CultureInfo.InvariantCulture)}]", leaves);
                }

                break;
            default:
                leaves.Add((path, Written(node)));
                break;
        }
    }

    private static string? NameOf(CarNode node) =>
        node is CarTable table ? Names.Select(name => table.Find(name)).OfType<CarText>().FirstOrDefault()?.Value : null;

    private static string Written(CarNode node) => node switch
    {
        CarText text => text.Value,
        CarNumber number => number.Value.ToString("R", CultureInfo.InvariantCulture),
        CarFlag flag => flag.Value ? "true" : "false",
        CarOther other => other.Written ?? other.What,
        CarList list => string.Join(", ", list.Items.Select(item => item is CarList inner ? $"[{Written(inner)}]" : Written(item))),
        _ => "",
    };
}
