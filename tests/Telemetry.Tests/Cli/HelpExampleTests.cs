using System.Text.RegularExpressions;
using Telemetry.Cli;
using Telemetry.Ledgers;
using Telemetry.Tests.Ledger;
using Telemetry.Tests.Output;

namespace Telemetry.Tests.Cli;

/// <summary>Every example that the help shows is carried out, on files of the names that it uses.</summary>
public sealed partial class HelpExampleTests : IDisposable
{
    private static readonly Lazy<TemporaryFolder> Kept = new(Results);

    private readonly TemporaryFolder folder = new();

    public static TheoryData<string> Examples => [.. Verbs("").SelectMany(ExamplesOf).Distinct(StringComparer.Ordinal)];

    [Theory]
    [MemberData(nameof(Examples))]
    public void An_example_of_the_help_can_be_carried_out(string example)
    {
        string[] words = [.. Words().Matches(example).Select(match => match.Value.Trim('"')).Skip(1)];
        Lay(words);
        if (words[0] == "watch")
        {
            words = [.. words, "--end-after", "0.2 s", "--every", "0.05 s"];
        }

        // An analysis is shown on a known review; all else is the real thing.
        Pipeline pipeline = words[0] is "analyse" or "watch" ? CommandRun.Known(SampleReviews.Full) : Pipeline.Real;
        CommandRun run = CommandRun.With(pipeline, [.. words.Select(Placed)]);
        Assert.True(run.Code is ExitCode.Done or ExitCode.Finding, $"{example}\n{run.Error}\n{run.Out}");
        Assert.NotEqual("", run.Out + run.Error);
    }

    [Fact]
    public void Every_verb_shows_an_example()
    {
        string[] verbs = [.. Verbs("")];
        Assert.Contains("life fit", verbs);
        Assert.All(verbs, verb => Assert.NotEmpty(ExamplesOf(verb)));
        Assert.True(Examples.Count > 25, $"{Examples.Count} examples");
    }

    public void Dispose() => folder.Dispose();

    /// <summary>The verbs below a verb and itself, as its help names them.</summary>
    private static IEnumerable<string> Verbs(string above)
    {
        string help = Help(above);
        int commands = help.IndexOf("\nCommands:\n", StringComparison.Ordinal);
        if (commands >= 0)
        {
            foreach (Match verb in Verb().Matches(help[(commands + "\nCommands:".Length)..help.IndexOf("\n\n", commands + 1, StringComparison.Ordinal)]))
            {
                foreach (string below in Verbs($"{above} {verb.Groups[1].Value}".Trim()))
                {
                    yield return below;
                }
            }
        }

        yield return above;
    }

    private static IEnumerable<string> ExamplesOf(string verb)
    {
        string help = Help(verb);
        return Example().Matches(help[help.IndexOf("\nExamples:\n", StringComparison.Ordinal)..]).Select(match => match.Groups[1].Value);
    }

    private static string Help(string verb) => CommandRun.Of([.. verb.Split(' ', StringSplitOptions.RemoveEmptyEntries), "--help"]).Out;

    /// <summary>Results of two runs of one car, made once for all examples that read some.</summary>
    private static TemporaryFolder Results()
    {
        TemporaryFolder kept = new();
        foreach ((string run, string sample) in new[] { ("run7", "baseline"), ("run8", "wing") })
        {
            CommandRun made = CommandRun.Of("analyse", Sample(sample, "log.parquet"), "--car", CommandRun.CarPath, "--out", kept[run], "--no-plots", "--quiet");
            Assert.True(made.Code == 0, made.Error);
        }

        return kept;
    }

    private static string Sample(string name, string file) => Path.Combine(Repository.Root, "sample-runs", name, file);

    /// <summary>Where a word of an example that names a file or folder lies.</summary>
    private string Placed(string word) => word switch
    {
        "run7" or "run8" => Kept.Value[word],
        "friday" or "practice" or "stints" or "parts-csv" or "logs/" => folder[word],
        _ when File().IsMatch(word) => folder[word.Split('/')],
        _ => word,
    };

    /// <summary>Makes the files that an example reads.</summary>
    private void Lay(string[] words)
    {
        foreach (string word in words)
        {
            switch (word)
            {
                case "run7.csv" or "a.csv":
                    Link(word, Sample("baseline", "log.parquet"));
                    break;
                case "b.csv":
                    Link(word, Sample("wing", "log.parquet"));
                    break;
                case "a2.csv":
                    Link(word, Sample("rough", "log.parquet"));
                    break;
                case "practice/log.parquet":
                    Link(word, Sample("baseline", "log.parquet"));
                    break;
                case "car.toml" or "practice/car.toml":
                    folder.Write(word, LedgerRuns.CarText);
                    break;
                case "logs/":
                    // The known review stands for whatever is read.
                    folder.Write("logs/one.csv", "time [s],x\n0,1\n");
                    break;
                case "race.csv":
                    folder.Write(word, Telemetry.Tests.Logs.LongLog.Text(stops: 2, stopS: 70));
                    break;
                case "scenario.toml":
                    folder.Write(word, Laps().Replace(System.IO.File.ReadAllText(Sample("baseline", "scenario.toml")), "laps = 1")
                        .Replace("../circuit.toml", Path.Combine(Repository.Root, "sample-runs", "circuit.toml").Replace('\\', '/'), StringComparison.Ordinal));
                    folder.Write("car.toml", LedgerRuns.CarText);
                    break;
                case "parts.jsonl":
                    folder.Write(word, LedgerDatabaseTests<SqlitePlace>.OldLedger);
                    break;
                case "parts-csv" when words.Contains("import"):
                    Assert.Equal(0, CommandRun.Of("life", "export", folder["parts-csv"], "--ledger", Ledger("from.db")).Code);
                    break;
                case "parts.db" when words[0] == "life" && !words.Contains("import"):
                    Ledger(word);
                    break;
                default:
                    break;
            }
        }
    }

    private void Link(string name, string target)
    {
        Directory.CreateDirectory(Path.GetDirectoryName(folder[name])!);
        System.IO.File.CreateSymbolicLink(folder[name], target);
    }

    /// <summary>A ledger in which P12 ran twelve times on car 7.</summary>
    private string Ledger(string name)
    {
        LedgerDatabase ledger = LedgerDatabase.Open(LedgerAddress.Read(folder[name]), LedgerRuns.Now);
        for (int i = 1; i <= 12; i++)
        {
            ledger.Record(LedgerRuns.At(60 * i, LedgerRuns.Run($"log{i}", LedgerRuns.Part("P12", 0.01 + (0.001 * i))) with { Run = $"run{i}" }), LedgerRuns.CarText, LedgerRuns.Now);
        }

        return folder[name];
    }

    [GeneratedRegex("\"[^\"]*\"|[^ ]+")]
    private static partial Regex Words();

    [GeneratedRegex(@"\n  ([a-z]+)(?= )")]
    private static partial Regex Verb();

    [GeneratedRegex(@"\n  (pushrod .*)")]
    private static partial Regex Example();

    [GeneratedRegex(@"\.(csv|toml|db|jsonl|parquet)$")]
    private static partial Regex File();

    [GeneratedRegex(@"(?m)^laps = \d+")]
    private static partial Regex Laps();
}
