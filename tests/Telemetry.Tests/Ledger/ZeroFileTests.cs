using Telemetry.Ledger;
using Telemetry.Zero;

namespace Telemetry.Tests.Ledger;

public sealed class ZeroFileTests : IDisposable
{
    private const string Good = """{"run":"run7","log_hash":"abc","car":"Demo","taken_at_utc":"2026-03-14T09:12:00+00:00","cells":[{"cell":"serial 1","corner":"FL","source":"GroundCornerWeights","start_n":41.2,"end_n":44,"standard_uncertainty_n":12.1,"own_uncertainty_n":6.3,"gain":1,"temperature_k":301.2,"travel_zero_m":0.0123}]}""";

    private readonly string folder = Directory.CreateTempSubdirectory("zeros").FullName;

    private string Path => System.IO.Path.Combine(folder, "zeros.jsonl");

    public void Dispose() => Directory.Delete(folder, recursive: true);

    private static ZeroRun Run(string hash) => new("run " + hash, hash, "Demo", null, [new CellZero("Demo / P FL", "FL", ZeroSource.Stands, 1.0 / 3, -2e-300, 4, 2, 1.01, null, null)]);

    [Fact]
    public void A_file_that_does_not_exist_is_empty() => Assert.Empty(ZeroFile.Read(Path).Runs);

    [Fact]
    public void It_reads_back_to_the_last_digit_and_the_same_log_twice_gives_the_same_bytes()
    {
        ZeroFile.Write(Path, ZeroHistory.Empty.With(Run("a")).With(Run("b")));
        byte[] once = File.ReadAllBytes(Path);
        ZeroHistory back = ZeroFile.Read(Path);
        Assert.Equal(1.0 / 3, back.Runs[0].Cells[0].StartN);
        Assert.Equal(-2e-300, back.Runs[0].Cells[0].EndN);
        ZeroFile.Write(Path, back.With(Run("a")));
        Assert.Equal(once, File.ReadAllBytes(Path));
        Assert.Equal([Path], Directory.GetFiles(folder));
    }

    [Fact]
    public void The_documented_line_reads()
    {
        File.WriteAllText(Path, "{\"zero_file\":1}\n" + Good + "\n");
        Assert.Equal(41.2, Assert.Single(ZeroFile.Read(Path).Runs).Cells[0].StartN);
    }

    [Theory]
    [InlineData("\"start_n\":41.2", "\"start_n\":1e300", "newtons")]
    [InlineData("\"start_n\":41.2", "\"start_n\":\"NaN\"", "no entry")]
    [InlineData("\"standard_uncertainty_n\":12.1", "\"standard_uncertainty_n\":-1", "uncertainty")]
    [InlineData("\"corner\":\"FL\"", "\"corner\":\"XX\"", "none of FL, FR, RL, RR")]
    [InlineData("GroundCornerWeights", "Borrowed", "does not belong here")]
    [InlineData("GroundCornerWeights", "77", "no")]
    [InlineData("\"gain\":1", "\"gain\":0", "gain")]
    [InlineData("\"temperature_k\":301.2", "\"temperature_k\":28", "in K")]
    [InlineData("\"run\":\"run7\"", "\"run\":\"\"", "name")]
    [InlineData("\"run\":\"run7\"", "\"run\":null", "no entry")]
    [InlineData("\"car\":\"Demo\",", "", "no entry")]
    [InlineData("\"car\":", "\"auto\":", "no entry")]
    [InlineData("2026-03-14T09:12:00+00:00", "yesterday", "no entry")]
    [InlineData("]}", "", "no entry")]
    [InlineData("[{", "[null,{", "cell")]
    public void A_line_that_is_none_is_named_with_its_number(string old, string change, string says)
    {
        File.WriteAllText(Path, "{\"zero_file\":1}\n" + Good.Replace(old, change, StringComparison.Ordinal) + "\n");
        InputError error = Assert.Throws<InputError>(() => ZeroFile.Read(Path));
        Assert.Contains("line 2", error.Faults[0].Where, StringComparison.Ordinal);
        Assert.Contains(says, error.Faults[0].Found, StringComparison.Ordinal);
    }

    [Theory]
    [InlineData("")]
    [InlineData("{\"zero_file\":2}\n")]
    [InlineData("{\"life_ledger\":1}\n")]
    [InlineData("not a zero file\n")]
    [InlineData("\u0000\u0001")]
    public void A_file_that_is_none_of_ours_is_refused(string text)
    {
        File.WriteAllText(Path, text);
        Assert.Throws<InputError>(() => ZeroFile.Read(Path));
    }

    [Fact]
    public void Bytes_that_are_no_text_and_a_log_that_stands_twice_are_refused()
    {
        File.WriteAllBytes(Path, [0xff, 0xfe, 0xfa, 0x80]);
        Assert.Throws<InputError>(() => ZeroFile.Read(Path));
        File.WriteAllText(Path, "{\"zero_file\":1}\n" + Good + "\n" + Good + "\n");
        InputError error = Assert.Throws<InputError>(() => ZeroFile.Read(Path));
        Assert.Contains("line 3", error.Message, StringComparison.Ordinal);
        Assert.Throws<InputError>(() => ZeroFile.Read(folder));
    }
}
