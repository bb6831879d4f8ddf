using System.Collections.Immutable;
using System.Reflection;
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

    /// <summary>The index page of a day: three runs, and a log that could not be analysed.</summary>
    Day,

    /// <summary>The same day, with names made to do harm.</summary>
    HostileDay,

    /// <summary>The rough run with a driven line: its course and speed put together to a position.</summary>
    Map,
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
        [SamplePage.Day] = new(() => Day(hostile: false)),
        [SamplePage.HostileDay] = new(() => Day(hostile: true)),
        [SamplePage.Map] = new(Map),
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

    private string Day(bool hostile)
    {
        string place = Path.Combine(folder, hostile ? "day-hostile" : "day");
        string[] names = ["baseline", "rough", "wing"];
        string text = File.ReadAllText(Path.Combine(Root, "sample-runs", "rough", "car.toml")), other = text.Replace("12.0 kN", "12.5 kN", StringComparison.Ordinal);
        DayResults.KeepCar(place, text, new string('c', 64));
        DayResults.KeepCar(place, other, new string('d', 64));
        ImmutableArray<DayRun> runs =
        [
            .. names.Select((name, i) => Entry(i, name, hostile) with { Headline = DayHeadlines.Of(SummaryFile.From(Review(name, hostile))) }),
            Entry(names.Length, "broken", hostile) with { Status = "failed", Error = (hostile ? HostileName : "") + "row 1: No column is named 'Time'." },
        ];
        DayResults.Write(DayResults.Of(place, runs), place);
        return Path.Combine(place, "index.html");
    }

    private static DayRun Entry(int number, string name, bool hostile) => new()
    {
        Status = "done",
        Log = (hostile ? HostileName : "") + name + ".csv",
        LogSha256 = new string("0123"[number], 64),
        Folder = DayOrder.Folder((hostile ? HostileName : "") + name, []),
        CarSha256 = new string(number < 2 ? 'c' : 'd', 64),
        PlacedAtUtc = DayOrder.Text(new DateTimeOffset(2026, 3, 31, 10, 10 * number, 0, TimeSpan.Zero)),
        IsPlacedByFile = number == 0,
        HasLedger = false,
        Error = null,
    };

    /// <summary>The review needs no position, so the line is put in afterwards: only the picture of it is looked at here.</summary>
    private string Map()
    {
        RunReview review = Review("rough", hostile: false);
        double[] east = new double[review.Run.Count], north = new double[review.Run.Count];
        SampleSource speed = review.Run.OnClock(ChannelRole.Speed), course = review.Run.OnClock(ChannelRole.Course);
        for (int i = 1; i < east.Length; i++)
        {
            // Course is clockwise from north.
            double step = double.IsFinite(speed[i] + course[i]) ? speed[i] * review.Run.Clock.StepS : 0;
            (east[i], north[i]) = (east[i - 1] + (step * Math.Sin(course[i])), north[i - 1] + (step * Math.Cos(course[i])));
        }

        string place = Path.Combine(folder, "map");
        ImmutableArray<SampleSource?> samples = review.Run.ClockSamples.SetItem((int)ChannelRole.PositionEast, [.. east]).SetItem((int)ChannelRole.PositionNorth, [.. north]);
        ReviewResults.Write(review with { Run = review.Run with { ClockSamples = samples } }, place);
        return Path.Combine(place, "report.html");
    }

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
