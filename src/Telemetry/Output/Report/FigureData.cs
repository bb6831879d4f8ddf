using System.Collections.Immutable;
using System.Runtime.InteropServices;
using System.Text.Json;
using Telemetry.Aero;
using Telemetry.Car;
using Telemetry.Fatigue;
using Telemetry.Kerbs;
using Telemetry.Output.Plots;
using Telemetry.Review;
using Telemetry.Runs;

namespace Telemetry.Output.Report;

/// <summary>What the page's script draws from, as JSON: small, so that the first drawing does not wait for the samples.</summary>
/// <remarks>
/// The writer's own encoder turns every '&lt;', '&gt;', '&amp;' and quote in a name into an escape, so nothing in it can end the element that holds it.
/// Numbers are in shown units and rounded to six digits.
/// </remarks>
internal static class FigureData
{
    /// <summary>Windows that were turned away: more than this hide the others.</summary>
    private const int MostRejected = 4000;

    /// <summary>The data of all figures.</summary>
    public static ReadOnlyMemory<byte> Of(RunReview review, ReportTraces traces)
    {
        MemoryStream stream = new();
        using (Utf8JsonWriter json = new(stream))
        {
            json.WriteStartObject();
            Channels(json, review, traces);
            Strikes(json, review);
            AeroLoad(json, review.Aero);
            Exceedance(json, traces.Numbers.Value);
            json.WriteEndObject();
        }

        return stream.GetBuffer().AsMemory(0, (int)stream.Length);
    }

    private static void Channels(Utf8JsonWriter json, RunReview review, ReportTraces traces)
    {
        Run run = review.Run;
        FigureNumbers numbers = traces.Numbers.Value;
        json.WriteNumber("start", run.Clock.StartS);
        json.WriteNumber("step", run.Clock.StepS);
        json.WriteNumber("bucket", traces.Grid.Size);
        ImmutableArray<Lap> comparable = ModePanels.Comparable(run);
        json.WriteStartArray("laps");
        foreach (Lap lap in run.Laps.Laps)
        {
            json.WriteStartObject();
            json.WriteNumber("number", lap.Number);
            json.WriteNumber("from", lap.StartIndex);
            json.WriteNumber("to", lap.EndIndex);
            json.WriteNumber("seconds", Rounded(lap.DurationS));
            json.WriteBoolean("comparable", comparable.Contains(lap));
            json.WriteEndObject();
        }

        json.WriteEndArray();
        json.WriteNumber("fastest", comparable.IsEmpty ? -1 : run.Laps.Laps.IndexOf(comparable.MinBy(lap => lap.DurationS)!));
        json.WriteNumber("hardest", numbers.HardestLap is { } hardest ? run.Laps.Laps.IndexOf(hardest) : -1);
        if (numbers.Knots.Length > 0)
        {
            json.WriteBase64String("knots", MemoryMarshal.AsBytes(numbers.Knots.AsSpan()));
        }

        json.WriteStartArray("channels");
        for (int i = 0; i < traces.Channels.Length; i++)
        {
            (TraceChannel channel, PackedSamples packed) = (traces.Channels[i], traces.Packed[i]);
            json.WriteStartObject();
            json.WriteString("name", DirectionMarks.Shown(channel.Name));
            json.WriteString("unit", channel.Unit);
            json.WriteNumber("corner", channel.Corner is { } corner ? (int)corner : -1);
            json.WriteBoolean("open", channel.IsShownFirst);
            // These two stay whole: rounding them would bend the values more than the steps do.
            json.WriteNumber("low", double.IsFinite(packed.Low) ? packed.Low * channel.Scale : 0);
            json.WriteNumber("stepOf", packed.Step * channel.Scale);
            json.WriteBoolean("hasSamples", packed.Gzip.Length > 0);
            json.WriteBase64String("lows", MemoryMarshal.AsBytes(packed.LowCodes.AsSpan()));
            json.WriteBase64String("highs", MemoryMarshal.AsBytes(packed.HighCodes.AsSpan()));
            json.WriteEndObject();
        }

        json.WriteEndArray();
    }

    private static void Strikes(Utf8JsonWriter json, RunReview review)
    {
        json.WriteStartArray("strikes");
        foreach (KerbStrike strike in review.Kerbs.Strikes)
        {
            json.WriteStartObject();
            json.WriteNumber("number", strike.Number);
            json.WriteNumber("corner", (int)strike.Corner);
            json.WriteNumber("lap", strike.Lap);
            json.WriteNumber("from", strike.FromIndex);
            json.WriteNumber("to", strike.ToIndex);
            json.WriteNumber("at", strike.PeakIndex);
            json.WriteString("text", DirectionMarks.Shown(StrikeText.Of(strike)));
            json.WriteBoolean("past", strike.ExceedsLimit);
            json.WriteEndObject();
        }

        json.WriteEndArray();
    }

    private static void AeroLoad(Utf8JsonWriter json, AeroResult aero)
    {
        QuasiSteadyWindow[] known = [.. aero.Windows.Where(w => double.IsFinite(w.SpeedMps) && double.IsFinite(w.FrontLoadN + w.RearLoadN))];
        if (aero.Curve.IsEmpty && known.Length == 0)
        {
            return;
        }

        json.WriteStartObject("aero");
        QuasiSteadyWindow[] used = [.. known.Where(w => w.RejectedBecause is null)];
        QuasiSteadyWindow[] rejected = [.. known.Where(w => w.RejectedBecause is not null).Take(MostRejected)];
        Numbers(json, "speed", used.Select(w => w.SpeedMps * Say.KmhPerMps));
        Numbers(json, "front", used.Select(w => w.FrontLoadN * Say.KnPerN));
        Numbers(json, "rear", used.Select(w => w.RearLoadN * Say.KnPerN));
        Numbers(json, "pass", used.Select(w => (double)w.Pass));
        Numbers(json, "lap", used.Select(w => (double)w.Lap));
        Numbers(json, "time", used.Select(w => w.TimeS));
        Numbers(json, "awaySpeed", rejected.Select(w => w.SpeedMps * Say.KmhPerMps));
        Numbers(json, "awayTotal", rejected.Select(w => (w.FrontLoadN + w.RearLoadN) * Say.KnPerN));
        Numbers(json, "curveSpeed", aero.Curve.Select(at => at.SpeedMps * Say.KmhPerMps));
        foreach ((string name, Func<AeroAtSpeed, Estimate> of) in new (string, Func<AeroAtSpeed, Estimate>)[] { ("Total", at => at.TotalLoadN), ("Rear", at => at.RearLoadN), ("Front", at => at.FrontLoadN) })
        {
            Numbers(json, "curve" + name, aero.Curve.Select(at => of(at).Value * Say.KnPerN));
            Numbers(json, "low" + name, aero.Curve.Select(at => of(at).Low95 * Say.KnPerN));
            Numbers(json, "high" + name, aero.Curve.Select(at => of(at).High95 * Say.KnPerN));
        }

        json.WriteEndObject();
    }

    private static void Exceedance(Utf8JsonWriter json, FigureNumbers numbers)
    {
        json.WriteStartArray("exceedance");
        foreach ((ComponentResult part, double[] counts, double[] ranges) in numbers.Exceedance)
        {
            json.WriteStartObject();
            json.WriteString("name", DirectionMarks.Shown(part.Component.Id));
            Numbers(json, "counts", counts);
            Numbers(json, "ranges", ranges);
            if (part == numbers.Exceedance[0].Part && numbers.Band is { } band)
            {
                Edge(json, "low", band.LevelsN, band.Low95);
                Edge(json, "high", band.LevelsN, band.High95);
            }

            json.WriteEndObject();
        }

        json.WriteEndArray();
    }

    // One edge of the band as ranges over counts: the highest level for each count, counts rising.
    private static void Edge(Utf8JsonWriter json, string name, ImmutableArray<double> levels, ImmutableArray<double> counts)
    {
        int[] kept = [.. Enumerable.Range(0, levels.Length).Reverse().Where(i => counts[i] > 0).DistinctBy(i => counts[i])];
        Numbers(json, name + "Counts", kept.Select(i => counts[i]));
        Numbers(json, name + "Ranges", kept.Select(i => levels[i] * Say.KnPerN));
    }

    private static void Numbers(Utf8JsonWriter json, string name, IEnumerable<double> values)
    {
        json.WriteStartArray(name);
        foreach (double value in values)
        {
            if (double.IsFinite(value))
            {
                json.WriteNumberValue(Rounded(value));
            }
            else
            {
                json.WriteNullValue();
            }
        }

        json.WriteEndArray();
    }

    // Shortest text of a number of six digits; casting to float would do, were it not for times.
    private static double Rounded(double value)
    {
        if (value == 0 || !double.IsFinite(value))
        {
            return 0;
        }

        int decimals = 6 - (int)Math.Ceiling(Math.Log10(Math.Abs(value)));
        return decimals is >= 0 and <= 15 ? Math.Round(value, decimals) : value;
    }
}

/// <summary>A strike in one line, as lists and tips say it.</summary>
internal static class StrikeText
{
    public static string Of(KerbStrike strike)
    {
        string place = double.IsFinite(strike.DistanceM) ? $", {Say.Number(strike.DistanceM, 0)} m" : "";
        string peak = double.IsFinite(strike.PeakLoadN) ? $"{(strike.IsLowerBound ? "at least " : "")}{Say.Number(strike.PeakLoadN * Say.KnPerN, 1)} kN" : "peak not known";
        string verdict = strike.ExceedsLimit ? ", past a limit" : strike.NotJudgedBecause is not null ? ", not judged" : "";
        return $"{strike.Number}: lap {strike.Lap}, {strike.Corner.Code()}{place}, {peak}{verdict}";
    }
}
