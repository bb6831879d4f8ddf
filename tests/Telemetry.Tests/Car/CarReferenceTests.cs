using System.Collections.Immutable;
using System.Globalization;
using System.Text;
using Telemetry.Car;

namespace Telemetry.Tests.Car;

/// <summary>The reference tables in src/Telemetry/Car/README.md say what the reader does; they are compared, not rewritten, here.</summary>
public class CarReferenceTests
{
    private static readonly string ReadMe = Path.Combine(Repository.Root, "src", "Telemetry", "Car", "README.md");

    private static readonly CarSection Sample = ReadSample();

    [Fact]
    public void The_reference_lists_every_field_the_reader_knows() => Compare("fields", FieldTable());

    [Fact]
    public void The_reference_lists_every_channel_role() => Compare("channels", ChannelTable());

    [Fact]
    public void The_reference_lists_every_unit() => Compare("units", UnitTable());

    [Fact]
    public void Every_example_in_the_reference_reads()
    {
        string text = File.ReadAllText(ReadMe).ReplaceLineEndings("\n");
        string[] parts = text.Split("```");
        string[] lines = [.. parts.Where(p => p.StartsWith("toml\n", StringComparison.Ordinal)).SelectMany(p => p.Split('\n').Skip(1)).Where(l => l.StartsWith("line = ", StringComparison.Ordinal))];
        Assert.Equal(5, lines.Length);
        foreach (string line in lines)
        {
            bool isStress = line.Contains("MPa", StringComparison.Ordinal) || line.Contains("detail_category", StringComparison.Ordinal);
            string changed = CarText.With("line = { cycles = 2e6, range = \"5.2 kN\", slope = 5 }", line + (isStress ? "\nstress_per_load = \"5 MPa/kN\"" : ""));
            Assert.Empty(CarText.Faults(changed));
        }
    }

    private static CarSection ReadSample()
    {
        CarFaultList faults = new(CarText.Name);
        CarSection root = CarSection.Root(CarTree.Parse(CarText.Sample, faults), faults);
        CarReading.Of(root, CarText.Name);
        Assert.False(faults.Any);
        return root;
    }

    private static void Compare(string name, string table)
    {
        string text = File.ReadAllText(ReadMe).ReplaceLineEndings("\n");
        string open = $"<!-- {name}: checked by CarReferenceTests -->\n";
        string close = $"<!-- end of {name} -->";
        int from = text.IndexOf(open, StringComparison.Ordinal);
        int to = text.IndexOf(close, StringComparison.Ordinal);
        Assert.True(from >= 0 && to > from, $"README.md has no table '{name}' between its two marks.");
        if (table != text[(from + open.Length)..to])
        {
            // The README is never rewritten by a test; the table that should stand there is left where it can be copied from.
            string expected = Path.Combine(Repository.Root, ".artifacts", $"car-reference-{name}.md");
            File.WriteAllText(expected, table);
            Assert.Fail($"The table '{name}' in {ReadMe} differs from what the reader does. What should stand there is in {expected}.");
        }
    }

    private static string FieldTable()
    {
        StringBuilder table = new("| field | written as | meaning | plausible | without it | answers withheld without it | answers that get worse |\n|---|---|---|---|---|---|---|\n");
        foreach (CarField field in CarFields.All)
        {
            (string withheld, string worse) = Effect(p => Matches(field.Path, p));
            string without = field.IsRequired ? "**required**" : field.Otherwise;
            table.Append(CultureInfo.InvariantCulture, $"| `{field.Path}` | {Form(field)} | {field.Meaning} | {Plausible(field)} | {without} | {withheld} | {worse} |\n");
        }

        return table.ToString();
    }

    private static string ChannelTable()
    {
        StringBuilder table = new("| role | kept in | units of the log | answers withheld without it | answers that get worse |\n|---|---|---|---|---|\n");
        foreach (ChannelRole role in Enum.GetValues<ChannelRole>())
        {
            string path = $"channels.{role.Key()}";
            (string withheld, string worse) = Effect(p => p == path || p.StartsWith(path + ".", StringComparison.Ordinal));
            string units = Units.Allowed(ChannelUnits.Of(role)) + (role == ChannelRole.Brake ? ", " + Units.Allowed(Dimension.Share) : "");
            table.Append(CultureInfo.InvariantCulture, $"| `{role.Key()}` | {ChannelUnits.SiUnit(role)} | {units} | {withheld} | {worse} |\n");
        }

        return table.ToString();
    }

    private static string UnitTable()
    {
        StringBuilder table = new("| quantity | units |\n|---|---|\n");
        foreach (Dimension dimension in Enum.GetValues<Dimension>().Where(d => d != Dimension.Plain))
        {
            table.Append(CultureInfo.InvariantCulture, $"| {Units.Word(dimension)} | {Units.Allowed(dimension)} |\n");
        }

        return table.ToString();
    }

    /// <summary>What happens to the sample car's answers when a field is taken away, by asking the reader's own rules.</summary>
    private static (string Withheld, string Worse) Effect(Func<string, bool> isGone)
    {
        ImmutableArray<AnswerNeeds> answers = CarAnswers.Of(Sample, p => Sample.IsGood(p) && !isGone(p));
        string Names(Func<AnswerNeeds, bool> which) => string.Join(", ", answers.Where(which).Select(a => ShortWord(a.Answer)).Distinct());
        return (Names(a => !a.IsCarried), Names(a => a.IsCarried && !a.WouldImprove.IsEmpty && answers.Where(b => b.Answer == a.Answer).All(b => b.IsCarried)));
    }

    private static string ShortWord(CarAnswer answer) => answer switch
    {
        CarAnswer.WheelLoads => "wheel loads",
        CarAnswer.ContactPatchLoads => "contact-patch loads",
        CarAnswer.AeroLoad => "aero",
        CarAnswer.AeroInMovingAir => "aero in wind",
        CarAnswer.KerbStrikes => "kerbs",
        _ => answer.ToString().ToLowerInvariant(),
    };

    private static bool Matches(string pattern, string path)
    {
        string[] wanted = pattern.Split('.');
        string[] given = path.Split('.');
        if (given.Length < wanted.Length)
        {
            return false;
        }

        for (int i = 0; i < wanted.Length; i++)
        {
            string part = given[i].Contains('[', StringComparison.Ordinal) ? given[i][..given[i].IndexOf('[', StringComparison.Ordinal)] + "[]" : given[i];
            bool same = wanted[i] switch
            {
                "AXLE" => part is "front" or "rear",
                "ROLE" => true,
                "corner_weight_CORNER" => part is "corner_weight_fl" or "corner_weight_fr" or "corner_weight_rl" or "corner_weight_rr",
                _ => part == wanted[i] || part + "[]" == wanted[i],
            };
            if (!same)
            {
                return false;
            }
        }

        return true;
    }

    private static string Form(CarField field)
    {
        if (field.Choices.Length > 0)
        {
            return string.Join(" / ", field.Choices);
        }

        string what = field.Dimension is { } d && d != Dimension.Plain ? Units.Word(d)[2..].Trim() : field.Path.StartsWith("channels", StringComparison.Ordinal) ? "role's quantity" : "number";
        if (field.Or is { } or)
        {
            what += " or " + Units.Word(or)[2..].Trim();
        }

        string form = field.Kind switch
        {
            FieldKind.Quantity => what,
            FieldKind.Number => "bare number",
            FieldKind.Quantities => $"list of {what}",
            FieldKind.NumberOrNumbers => "bare number or list",
            FieldKind.QuantityOrQuantities => $"{what}, or list",
            FieldKind.Ratio => "bare number or table",
            FieldKind.Channel => "text or table",
            FieldKind.Texts => "list of texts",
            FieldKind.Tables => "tables",
            _ => field.Kind.ToString().ToLowerInvariant(),
        };
        return form + (field.TakesUncertainty ? ", ± allowed" : "");
    }

    private static string Plausible(CarField field) =>
        double.IsInfinity(field.Low) || field.Kind == FieldKind.Flag
            ? ""
            : $"{QuantityText.Show(field.Low)} to {QuantityText.Show(field.High)} {(field.Dimension is null or Dimension.Plain or Dimension.Share ? "" : Units.Si(field.Dimension.Value))}".TrimEnd();
}
