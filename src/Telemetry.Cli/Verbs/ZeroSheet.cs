using System.Globalization;
using Telemetry.Output;
using Telemetry.Zero;

namespace Telemetry.Cli.Verbs;

/// <summary>Zeros of the load cells over the runs of a zero file, as lines for a screen.</summary>
internal static class ZeroSheet
{
    /// <summary>How many runs of a cell are listed; older ones are counted only.</summary>
    private const int MostRuns = 12;

    public static IEnumerable<SheetLine> Of(string path, IReadOnlyList<ZeroTrend> trends)
    {
        if (trends.Count == 0)
        {
            yield return new($"{path}: no run of this car's load cells yet. 'pushrod analyse' with --zeros enters one.", Tone.Warning);
            yield break;
        }

        yield return new($"Zeros of the load cells, {path}:", Tone.Heading);
        foreach (ZeroTrend trend in trends)
        {
            yield return new($"  {trend.Corner}  {trend.Cell}: {Words(trend)}", trend.Kind is ZeroTrendKind.Slope or ZeroTrendKind.Step ? Tone.Warning : trend.Kind == ZeroTrendKind.Steady ? Tone.Good : Tone.Plain);
            int skipped = Math.Max(0, trend.Runs.Length - MostRuns);
            if (skipped > 0)
            {
                yield return new($"      and {skipped} earlier {(skipped == 1 ? "run" : "runs")}", Tone.Muted);
            }

            foreach ((ZeroRun run, CellZero zero) in trend.Runs.Skip(skipped))
            {
                string when = run.TakenAtUtc?.UtcDateTime.ToString("yyyy-MM-dd HH:mm", CultureInfo.InvariantCulture) ?? "no date";
                string warm = zero.TemperatureK is double kelvin ? FormattableString.Invariant($", {kelvin - 273.15:0} degC") : "";
                yield return new(FormattableString.Invariant($"      {when,-16}  {zero.StartN,8:+0.0;-0.0} to {zero.EndN,8:+0.0;-0.0} N, +-{1.96 * zero.StandardUncertaintyN:0} N (95 %){warm}  {run.Run}"), Tone.Plain);
            }
        }
    }

    private static string Words(ZeroTrend trend) => trend.Kind switch
    {
        ZeroTrendKind.TooFew => $"{trend.Runs.Length} {(trend.Runs.Length == 1 ? "run" : "runs")}; a trend is looked for from {ZeroTrend.FewestRuns} on",
        ZeroTrendKind.Step => FormattableString.Invariant($"stepped by {trend.StepN:+0;-0} N after run '{trend.Runs[trend.StepAfter].Run.Run}' (chance {Chance(trend.StepChance)}). Ask what was changed or hit; check the cell unloaded"),
        ZeroTrendKind.Slope => FormattableString.Invariant($"drifts by {trend.Slope:+0.0;-0.0} N a{(trend.SlopeIsPerHour ? "n hour" : " run")} (chance {Chance(trend.SlopeChance)}). Zero it before each run; check mounting and cable"),
        _ => FormattableString.Invariant($"steady over {trend.Runs.Length} runs (slope {trend.Slope:+0.0;-0.0} N a{(trend.SlopeIsPerHour ? "n hour" : " run")}, chance {Chance(trend.SlopeChance)})"),
    };

    private static string Chance(double chance) => chance < 0.001 ? "below 0.1 %" : FormattableString.Invariant($"{100 * chance:0.#} %");
}
