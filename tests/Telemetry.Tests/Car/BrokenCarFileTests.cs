using System.Text;
using CsCheck;
using Telemetry.Car;

namespace Telemetry.Tests.Car;

/// <summary>Files that are no car file at all, or broken ones: always faults in words, never another exception.</summary>
public sealed class BrokenCarFileTests : IDisposable
{
    private readonly string folder = Directory.CreateTempSubdirectory("car-file-").FullName;

    public void Dispose() => Directory.Delete(folder, recursive: true);

    private InputFault OnlyFault(byte[] content)
    {
        string path = Path.Combine(folder, "car.toml");
        File.WriteAllBytes(path, content);
        InputFault fault = Assert.Single(Assert.Throws<InputError>(() => CarFile.Read(path)).Faults);
        Assert.StartsWith(path, fault.Where, StringComparison.Ordinal);
        CarFileCheck check = CarFile.Check(path);
        Assert.False(check.IsUsable);
        Assert.Equal(fault, Assert.Single(check.Faults));
        return fault;
    }

    [Fact]
    public void A_missing_file_is_told_by_its_path()
    {
        string path = Path.Combine(folder, "nowhere", "car.toml");
        InputFault fault = Assert.Single(Assert.Throws<InputError>(() => CarFile.Read(path)).Faults);
        Assert.Equal(new InputFault(path, "there is no such file.", "Check the path."), fault);
    }

    [Fact]
    public void A_folder_is_no_car_file()
    {
        InputFault fault = Assert.Single(Assert.Throws<InputError>(() => CarFile.Read(folder)).Faults);
        Assert.Equal("is a folder.", fault.Found);
    }

    [Fact]
    public void An_empty_path_is_told_and_not_thrown_past() =>
        Assert.Throws<InputError>(() => CarFile.Read(""));

    [Fact]
    public void A_binary_file_is_refused() =>
        Assert.Equal("is no text: it has bytes of value 0.", OnlyFault([0x50, 0x41, 0x52, 0x31, 0, 0, 7]).Found);

    [Fact]
    public void A_huge_file_is_refused_before_it_is_read() =>
        Assert.Equal("has 5 MB, far more than a car file.", OnlyFault(new byte[5 << 20]).Found);

    [Fact]
    public void Text_in_another_encoding_is_told_with_its_line()
    {
        // Latin-1 "±" is the single byte B1, which no UTF-8 text has there.
        byte[] latin = Encoding.Latin1.GetBytes("name = \"x\"\nwheelbase = \"2.95 m ± 1 mm\"\n");
        InputFault fault = OnlyFault(latin);
        Assert.EndsWith(", line 2", fault.Where, StringComparison.Ordinal);
        Assert.Equal("is not UTF-8 text.", fault.Found);
    }

    [Fact]
    public void A_byte_order_mark_and_windows_line_ends_change_nothing()
    {
        string path = Path.Combine(folder, "car.toml");
        File.WriteAllText(path, CarText.Sample.ReplaceLineEndings("\r\n"), new UTF8Encoding(encoderShouldEmitUTF8Identifier: true));
        Assert.Equal("Demo single-seater, baseline", CarFile.Read(path).Name);
    }

    [Fact]
    public void Deep_nesting_is_a_fault_and_not_the_end_of_the_program()
    {
        InputFault fault = OnlyFault(Encoding.UTF8.GetBytes("a = " + new string('[', 100_000)));
        Assert.Contains("this is not TOML", fault.Found, StringComparison.Ordinal);
    }

    [Fact]
    public void A_line_that_is_no_toml_is_told_together_with_the_other_faults()
    {
        string text = CarText.With("track_front = \"1.560 m\"", "track_front = = \"1.560 m\"").Replace("humidity = \"48 %\"", "humidity = 48", StringComparison.Ordinal);
        IReadOnlyList<InputFault> faults = CarText.Faults(text);
        int line = CarText.LineOf(text, "track_front = =");
        Assert.Equal($"car.toml, line {line}", faults[0].Where);
        Assert.StartsWith("this is not TOML: ", faults[0].Found, StringComparison.Ordinal);
        Assert.EndsWith("weather.humidity", faults[1].Where, StringComparison.Ordinal);

        // The broken line's own field is not called missing on top.
        Assert.Equal(2, faults.Count);
    }

    [Theory]
    [InlineData("[geometry]\nwheelbase.x = 1\n")]
    [InlineData("name.x = 1\nname = \"y\"\n")]
    [InlineData("[[components]]\n[components.strut]\n[components.strut]\n")]
    [InlineData("[components]\n[[components]]\n")]
    [InlineData("geometry = \"flat\"\n[geometry.x]\n")]
    [InlineData("[channels.speed]\nname = {}\n")]
    [InlineData("[suspension]\nfront = 3\nrear = []\n")]
    [InlineData("suspension.front.installation_ratio = {}\n")]
    [InlineData("suspension.front.installation_ratio = [1, 2]\n")]
    [InlineData("[[]]\n[]\n = 1\n\"\" = 2\n")]
    [InlineData("components = [1, {}, [], {id = 3}]\n")]
    [InlineData("\"\\u0000\" = 1\n")]
    public void Odd_but_possible_toml_gives_faults_only(string text) =>
        Assert.NotEmpty(CarText.Faults(text));

    [Fact]
    public void A_table_header_below_an_inline_or_array_table_reads_as_toml_says()
    {
        // TOML 1.0.0, "Array of Tables": a sub-table belongs to the last element defined above it.
        string text = CarText.Sample.Replace("[suspension.rear]", "[suspension.rear]  # still the same table", StringComparison.Ordinal);
        Assert.Empty(CarText.Faults(text));
        Assert.Equal(6, CarFile.Parse(text, "x").Components.Length);
        Assert.Null(CarFile.Parse(text, "x").Components[5].Strut);
    }

    [Fact]
    public void Mutated_files_give_a_car_or_faults_and_nothing_else()
    {
        // A cut, a swap, a doubled piece or a foreign character anywhere in the sample; seed fixed, so that a failure repeats.
        string[] alphabet = ["\"", "[", "]", "{", "}", "=", "\n", ".", ",", "-", "#", "e9", "±", "%", " kg", "nan", "'", "\"\"\"", "\\", "0"];
        Gen<string> mutated =
            from at in Gen.Int[0, CarText.Sample.Length - 1]
            from length in Gen.Int[0, 40]
            from kind in Gen.Int[0, 3]
            from insert in Gen.Int[0, alphabet.Length - 1]
            from target in Gen.Int[0, CarText.Sample.Length - 1]
            select Mutate(at, Math.Min(length, CarText.Sample.Length - at), kind, alphabet[insert], target);
        mutated.Sample(CanBeJudged, seed: "0000KOIPe4y1", iter: 400, threads: 1);

        static string Mutate(int at, int length, int kind, string insert, int target) => kind switch
        {
            0 => CarText.Sample.Remove(at, length),
            1 => CarText.Sample.Insert(at, insert),
            2 => CarText.Sample.Insert(target, CarText.Sample.Substring(at, length)),
            _ => CarText.Sample[..at],
        };
    }

    private static bool CanBeJudged(string text)
    {
        CarFileCheck check = CarFile.CheckText(text, CarText.Name);
        return check.IsUsable == check.Faults.IsEmpty && CarCheckText.Of(check).Length > 0;
    }
}
