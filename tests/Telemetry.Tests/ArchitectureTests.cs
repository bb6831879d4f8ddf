using System.Text.RegularExpressions;

namespace Telemetry.Tests;

/// <summary>Rules of the structure that the compiler cannot see. The failure text gives the remedy.</summary>
public partial class ArchitectureTests
{
    /// <summary>Stages in the order of the data; a stage may use those before it.</summary>
    private static readonly string[] Order =
        ["Logs", "Runs", "Health", "Cleaning", "Zero", "WheelLoads", "Modes", "CrossChecks", "Aero", "Platform", "Kerbs", "Fatigue", "Review", "Comparison", "Output", "Ledger"];

    private static readonly string Library = Path.Combine(Repository.Root, "src", "Telemetry");

    public static TheoryData<string> Stages => [.. Order];

    [GeneratedRegex(@"\bTelemetry\.([A-Z]\w+)|^using ([A-Z]\w+);", RegexOptions.Multiline)]
    private static partial Regex Mention { get; }

    [Theory]
    [MemberData(nameof(Stages))]
    public void A_stage_looks_only_upstream(string stage)
    {
        int place = Array.IndexOf(Order, stage);
        string[] later = Order[(place + 1)..];
        foreach (string file in Directory.EnumerateFiles(Path.Combine(Library, stage), "*.cs", SearchOption.AllDirectories))
        {
            foreach (Match match in Mention.Matches(WithoutComments(File.ReadAllText(file))))
            {
                string name = match.Groups[1].Success ? match.Groups[1].Value : match.Groups[2].Value;
                Assert.False(
                    later.Contains(name),
                    $"{Path.GetRelativePath(Repository.Root, file)} uses Telemetry.{name}, which comes after {stage}. Move what both need into {stage} or before it.");
            }
        }
    }

    [Fact]
    public void Only_stages_that_own_files_touch_the_file_system_or_the_console()
    {
        string[] owners = ["Logs", "Car", "Output", "Ledger"];
        foreach (string file in Directory.EnumerateFiles(Library, "*.cs", SearchOption.AllDirectories))
        {
            string folder = Path.GetRelativePath(Library, file).Split(Path.DirectorySeparatorChar)[0];
            if (owners.Contains(folder))
            {
                continue;
            }

            string code = WithoutComments(File.ReadAllText(file));
            foreach (string forbidden in new[] { "File.", "Directory.", "Console.", "DateTime.Now", "DateTime.UtcNow", "DateTimeOffset.UtcNow", "Stopwatch", "Random.Shared", "new Random(" })
            {
                Assert.False(
                    Regex.IsMatch(code, $@"(?<![\w.]){Regex.Escape(forbidden)}"),
                    $"{Path.GetRelativePath(Repository.Root, file)} uses {forbidden.TrimEnd('.', '(')}. Pass the data, the time or the seed in instead.");
            }
        }
    }

    [Fact]
    public void The_library_knows_neither_the_command_nor_the_simulator()
    {
        foreach (string file in Directory.EnumerateFiles(Library, "*.cs", SearchOption.AllDirectories))
        {
            string code = WithoutComments(File.ReadAllText(file));
            Assert.False(
                code.Contains("Telemetry.Cli", StringComparison.Ordinal) || code.Contains("Telemetry.Simulation", StringComparison.Ordinal) || code.Contains("System.CommandLine", StringComparison.Ordinal),
                $"{Path.GetRelativePath(Repository.Root, file)} depends on the command or the simulator; the dependency must point the other way.");
        }
    }

    [Fact]
    public void The_simulator_uses_none_of_the_estimating_code()
    {
        string[] allowed = ["Car", "Logs"];
        foreach (string file in Directory.EnumerateFiles(Path.Combine(Repository.Root, "src", "Telemetry.Simulation"), "*.cs", SearchOption.AllDirectories))
        {
            foreach (Match match in Mention.Matches(WithoutComments(File.ReadAllText(file))))
            {
                string name = match.Groups[1].Success ? match.Groups[1].Value : match.Groups[2].Value;
                Assert.False(
                    (Order.Contains(name) || name == "Filters") && !allowed.Contains(name),
                    $"{Path.GetRelativePath(Repository.Root, file)} uses Telemetry.{name}. The simulator is what accuracy is measured against: write what it needs in the simulator itself.");
            }
        }
    }

    [Fact]
    public void The_visible_top_level_holds_exactly_what_it_should()
    {
        string[] expected = ["DEVELOPERS.md", "LICENSE", "README.md", "Telemetry.sln", "notebooks", "sample-runs", "src", "tests"];
        string[] found = [.. Directory.EnumerateFileSystemEntries(Repository.Root).Select(path => Path.GetFileName(path)!).Where(name => name[0] != '.').Order(StringComparer.Ordinal)];
        Assert.Equal(expected.Order(StringComparer.Ordinal), found);
    }

    private static string WithoutComments(string code) => Regex.Replace(code, @"//.*$", "", RegexOptions.Multiline);
}
