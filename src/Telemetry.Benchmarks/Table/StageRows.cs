using System.Collections.Immutable;
using System.Globalization;
using Telemetry.Aero;
using Telemetry.Car;
using Telemetry.Fatigue;
using Telemetry.Health;
using Telemetry.Kerbs;
using Telemetry.Logs;
using Telemetry.Output.Plots;
using Telemetry.Output.Report;
using Telemetry.Review;
using Telemetry.Runs;

namespace Telemetry.Benchmarks.Table;

/// <summary>Stages of the whole job on their own, warm, in one process; the peer is the same stage of the script, where it has one.</summary>
internal static class StageRows
{
    private const int Repeats = 5;

    /// <summary>A row a stage.</summary>
    /// <param name="work">Folder of log and car file, and of what the script printed of its stages.</param>
    /// <param name="roofline">The memory's bandwidth.</param>
    public static IEnumerable<TableRow> From(string work, Roofline roofline)
    {
        CarDefinition car = CarFile.Read(Path.Combine(work, "car.toml"));
        RunLog log = LogReader.Read(Path.Combine(work, "log.csv"), RunAssembly.ReadingFor(car));
        RunReview review = RunAnalysis.Review(log, car, ReviewOptions.Default);
        double channelBytes = Roofline.BytesOf(log);
        double loadBytes = 4.0 * sizeof(double) * review.Run.Count;
        PlotSet plots = PlotSet.Draw(review);
        ImmutableArray<ReportPicture> pictures = [.. plots.Files.Select(plot => new ReportPicture(plot.Name, plot.Title, plot.Description, plot.Png.AsMemory()))];
        byte[] page = ReportFile.From(review, pictures);
        Timing[] times = Timing.InTurn(
            Repeats,
            1,
            () => HealthCheck.From(review.Run, HealthOptions.Default),
            () => AeroEstimate.From(review.Wheels, AeroOptions.Default),
            () => KerbStrikes.From(review.Wheels, KerbOptions.Default),
            () => FatigueAnalysis.From(review.Wheels, DamageHistory.Empty, FatigueOptions.Default),
            () => PlotSet.Draw(review),
            () => ReportFile.From(review, pictures));
        string input = string.Create(CultureInfo.InvariantCulture, $"{review.Run.Count:N0} rows, {log.Channels.Length} channels");
        AeroAtSpeed? aero = review.Aero.AtReference;
        yield return Row("health of every channel", 0, channelBytes, "");
        yield return Row("aero fit with intervals, wind and curve", 1, channelBytes + loadBytes, aero is null
            ? ""
            : string.Create(CultureInfo.InvariantCulture, $"lift area {aero.FrontLiftAreaM2.Value:0.00} front and {aero.RearLiftAreaM2.Value:0.00} rear, with intervals; the script fits straight lines and gives none"), "aero");
        yield return Row("kerb strikes", 2, loadBytes, string.Create(CultureInfo.InvariantCulture, $"{review.Kerbs.Strikes.Length} strikes; the script's fixed height is another rule"), "strikes");
        yield return Row("fatigue: cycles, damage, where it came from", 3, loadBytes, "the script counts four channels and sums one S-N line", "rainflow");
        double drawn = plots.Files.Sum(plot => (double)plot.Png.Length + plot.Svg.Length);
        yield return Row("plots", 4, channelBytes + drawn, string.Create(CultureInfo.InvariantCulture, $"{plots.Files.Length} pictures as PNG and as SVG; the script 8 as PNG"), "plots");
        yield return Row("report, one page with samples to zoom", 5, channelBytes + page.Length, string.Create(CultureInfo.InvariantCulture, $"{page.Length / 1e6:0.0} MB"));

        TableRow Row(string task, int at, double bytes, string reached, string? stage = null)
        {
            TableRow row = new("stage: " + task, input, Shown.Time(times[at])) { Moved = roofline.Moved(bytes, times[at]), Reached = reached };
            return stage is null || MeasuredFiles.ScriptStage(work, stage) is not { } script
                ? row
                : row with { Peer = $"that stage of the script: {Shown.Time(script)}", Ratio = Shown.Ratio(script, times[at]) };
        }
    }
}
