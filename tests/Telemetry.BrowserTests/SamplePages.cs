using System.Collections.Immutable;
using System.Reflection;
using System.Security.Cryptography;
using System.Text;
using Telemetry.Car;
using Telemetry.Comparison;
using Telemetry.Logs;
using Telemetry.Output;
using Telemetry.Output.Compared;
using Telemetry.Output.Days;
using Telemetry.Review;

namespace Telemetry.BrowserTests;

/// <summary>Which page a test opens.</summary>
public enum SamplePage
{
    /// <summary>A run in which a limit was passed and a zero drifted.</summary>
    Rough,

    /// <summary>A run in which all is well.</summary>
    Baseline,

    /// <summary>The rough run, with every name that comes from a file made to do harm.</summary>
    Hostile,

    /// <summary>Two runs compared.</summary>
    Comparison,

    /// <summary>Two runs compared, with names made to do harm.</summary>
    HostileComparison,

    /// <summary>A day of three runs and a log that could not be read, one of them with names made to do harm.</summary>
    Day,
}

/// <summary>Pages that the library writes from the sample runs, each when it is first asked for, in a folder that goes with the tests.</summary>
public sealed class SamplePages : IDisposable
{
    /// <summary>Markup, a broken-out attribute, a formula and a right-to-left override (U+202E), in one name.</summary>
    public const string HostileName = "=HYPERLINK(\"x\")<script>window.ran=1</script>\"><img src=x onerror=\"window.ran=1\">'&amp;\u202Egnp.run";

    private static readonly string Root = typeof(SamplePages).Assembly
        .GetCustomAttributes<AssemblyMetadataAttribute>()
        .First(a => a.Key == "RepositoryRoot").Value!;

    private readonly string folder = Directory.CreateTempSubdirectory("pushrod-pages-").FullName;

    private readonly Dictionary<SamplePage, Lazy<string>> pages;

    private readonly Dictionary<string, RunReview> reviews = [];

    /// <summary>Nothing is made before it is asked for: where there is no browser, nothing is.</summary>
    public SamplePages() => pages = new()
    {
        [SamplePage.Rough] = new(() => Report("rough", hostile: false)),
        [SamplePage.Baseline] = new(() => Report("baseline", hostile: false)),
        [SamplePage.Hostile] = new(() => Report("rough", hostile: true)),
        [SamplePage.Comparison] = new(() => Compare(hostile: false)),
        [SamplePage.HostileComparison] = new(() => Compare(hostile: true)),
        [SamplePage.Day] = new(Day),
    };

    /// <summary>Path of a page.</summary>
    public string this[SamplePage page] => pages[page].Value;

    /// <inheritdoc/>
    public void Dispose() => Directory.Delete(folder, recursive: true);

    private string Report(string run, bool hostile)
    {
        string place = Path.Combine(folder, run + (hostile ? "-hostile" : ""));
        ReviewResults.Write(Review(run, hostile), place);
        return Path.Combine(place, "report.html");
    }

    private string Compare(bool hostile)
    {
        RunReview[] compared = [Review("baseline", hostile), Review("wing", hostile)];
        string place = Path.Combine(folder, hostile ? "compared-hostile" : "compared");
        ComparisonOptions options = ComparisonOptions.Default with { Setups = hostile ? [HostileName + "A", HostileName + "B"] : [] };
        ComparisonResults.Write(SetupComparison.From([.. compared.Select(review => EvidenceOfRun.From(review))], options), [.. compared.Select(SummaryFile.From)], place, options.WantedShare);
        return Path.Combine(place, "comparison.html");
    }

    private string Day()
    {
        string place = Directory.CreateDirectory(Path.Combine(folder, "day")).FullName;
        string[] cars = [.. new[] { "baseline", "wing", "rough" }.Select(run => File.ReadAllText(Path.Combine(Root, "sample-runs", run, "car.toml")))];
        string[] hashes = [.. cars.Select(text => Convert.ToHexStringLower(SHA256.HashData(Encoding.UTF8.GetBytes(text))))];
        foreach ((string text, string hash) in cars.Zip(hashes))
        {
            DayResults.KeepCar(place, text, hash);
        }

        DayResults.Write(
            DayResults.Of(place,
            [
                DayRun(1, "baseline.csv", hashes[0], DayHeadlines.Of(SummaryFile.From(Review("baseline", hostile: false))), null),
                DayRun(2, "wing.csv", hashes[1], DayHeadlines.Of(SummaryFile.From(Review("wing", hostile: false))), null),
                DayRun(3, HostileName, hashes[2], DayHeadlines.Of(SummaryFile.From(Review("rough", hostile: true))), null),
                DayRun(4, "cut off.csv", hashes[2], null, $"{HostileName}, row 7: text stands where a number should. Export the log again."),
            ]),
            place);
        return Path.Combine(place, "index.html");
    }

    private static DayRun DayRun(int number, string log, string car, DayHeadline? headline, string? error) => new()
    {
        Status = error is null ? "done" : "failed",
        Log = log,
        LogSha256 = new string((char)('a' + number), 64),
        Folder = $"run{number}",
        CarSha256 = car,
        PlacedAtUtc = DayOrder.Text(new DateTimeOffset(2026, 3, 31, 10, 0, 0, TimeSpan.Zero).AddMinutes(20 * (number - 1))),
        IsPlacedByFile = number == 2,
        HasLedger = true,
        Error = error,
        Headline = headline,
    };

    private RunReview Review(string run, bool hostile)
    {
        string key = run + hostile;
        if (!reviews.TryGetValue(key, out RunReview? review))
        {
            string place = Path.Combine(Root, "sample-runs", run);
            CarDefinition car = CarFile.Read(Path.Combine(place, "car.toml"));
            RunLog log = LogReader.Read(Path.Combine(place, "log.parquet"), car.Log);
            review = hostile ? RunAnalysis.Review(Harmful(log), Harmful(car), ReviewOptions.Default) : RunAnalysis.Review(log, car, ReviewOptions.Default);
            reviews.Add(key, review);
        }

        return review;
    }

    private static RunLog Harmful(RunLog log) => log with
    {
        Name = HostileName + log.Name,
        Channels = [.. log.Channels.Select(channel => channel with { Name = HostileName + channel.Name })],
    };

    private static CarDefinition Harmful(CarDefinition car) => car with
    {
        Name = HostileName + car.Name,
        Channels = [.. car.Channels.Select(channel => channel with { Name = HostileName + channel.Name })],
        Components = [.. car.Components.Select(part => part with { Id = HostileName + part.Id, Description = HostileName + part.Description })],
    };
}
