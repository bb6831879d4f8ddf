using Telemetry.Tests.Logs;
using Telemetry.Tests.Output;

namespace Telemetry.Tests.Hostile;

/// <summary>The same input gives the same bytes, whatever the machine's language and however many processors it has.</summary>
[Collection(nameof(MeasuredMemory))]
public class SameBytesTests
{
    private static readonly string Run = Path.Combine(Repository.Root, "sample-runs", "baseline");

    [Fact]
    public void Runs_processors_and_languages_change_no_byte()
    {
        using TemporaryFolder folder = new();

        // The program ships without language data; here it gets the machine's, so that a number written or read in the user's language would show.
        string settings = folder.Write("languages.runtimeconfig.json", File.ReadAllText(Path.Combine(CommandProcess.Folder, "pushrod.runtimeconfig.json"))
            .Replace("\"System.Globalization.Invariant\": true", "\"System.Globalization.Invariant\": false", StringComparison.Ordinal)
            .Replace("\"System.Globalization.PredefinedCulturesOnly\": true", "\"System.Globalization.PredefinedCulturesOnly\": false", StringComparison.Ordinal));
        (SortedDictionary<string, byte[]> files, string sheet) = Analyse(folder["plain"], CommandProcess.Program, [], ("LANG", "C"), ("DOTNET_PROCESSOR_COUNT", "1"));
        Assert.Contains("summary.json", files.Keys);
        Assert.Contains("report.html", files.Keys);
        Assert.Contains(Path.Combine("tables", "cycles.csv"), files.Keys);
        string[] common = ["exec", "--runtimeconfig", settings, Path.Combine(CommandProcess.Folder, "pushrod.dll")];
        string? withLanguages = HasLanguages(settings);
        foreach ((string language, string processors) in new[] { ("C", "2"), ("de_DE.UTF-8", "3"), ("tr_TR.UTF-8", "1"), ("ar_SA.UTF-8", "2") })
        {
            bool isPlain = language == "C" || withLanguages is not null;
            (SortedDictionary<string, byte[]> again, string saidAgain) = Analyse(
                folder[language], isPlain ? CommandProcess.Program : "dotnet", isPlain ? [] : common, ("LANG", language), ("LC_ALL", language), ("DOTNET_PROCESSOR_COUNT", processors));
            Assert.Equal(sheet, saidAgain);
            Assert.Equal(files.Keys, again.Keys);
            foreach ((string name, byte[] bytes) in files)
            {
                Assert.True(bytes.AsSpan().SequenceEqual(again[name]), $"{name} differs with {language} and {processors} processors");
            }
        }
    }

    private static (SortedDictionary<string, byte[]> Files, string Sheet) Analyse(string folder, string program, string[] before, params (string, string)[] environment)
    {
        (int code, string said, string error) = CommandProcess.Run(
            program, environment.ToDictionary(pair => pair.Item1, string? (pair) => pair.Item2), [.. before, "analyse", Path.Combine(Run, "log.parquet"), "--car", Path.Combine(Run, "car.toml"), "--out", folder, "--quiet"]);
        Assert.True(code == 0, error);
        return (CommandProcess.Files(folder), said);
    }

    /// <summary>Null where the machine has language data; else why not.</summary>
    private static string? HasLanguages(string settings)
    {
        (int code, _, string error) = CommandProcess.Run("dotnet", new Dictionary<string, string?> { ["LANG"] = "de_DE.UTF-8" }, "exec", "--runtimeconfig", settings, Path.Combine(CommandProcess.Folder, "pushrod.dll"), "--help");
        return code == 0 ? null : error;
    }
}
