using System.Collections.Immutable;
using System.CommandLine;
using System.Globalization;
using Telemetry.Fatigue;
using Telemetry.Ledger;
using Telemetry.Ledgers;
using Telemetry.Output;

namespace Telemetry.Cli.Verbs.Life;

/// <summary>What a part has left, from the laps that it ran.</summary>
internal static class LifeForecasts
{
    public static Command Create(LifeAsk ask)
    {
        Argument<string> part = LifeAsk.Part();
        Option<int?> wanted = new("--wanted-laps") { Description = "Laps that are planned: ends with exit code 1 when the part may not last them.", HelpName = "LAPS" };
        HelpExamples.Verb verb = new(
            "forecast",
            "Laps and kilometres that a part has left if later runs are like its earlier ones, with a 95 % interval.",
            "pushrod life forecast P12 --wanted-laps 120 --ledger parts.db")
        {
            part, wanted,
        };
        verb.SetAction(parsed => Run(ask, parsed, parsed.GetRequiredValue(part), parsed.GetValue(wanted)));
        return verb;
    }

    private static int Run(LifeAsk ask, ParseResult parsed, string name, int? wanted)
    {
        if (wanted is < 1)
        {
            throw new UsageError("Option '--wanted-laps': write a whole number of laps, 1 or more.");
        }

        LedgerDatabase database = ask.Open(parsed);
        PartLife part = LifeAsk.Require(database.Read(), name, database.Address.Display);
        if (part.CriticalDamage is not { } critical)
        {
            throw new InputError(database.Address.Display, $"part '{name}' has no S-N line in any run, so its life is not followed.", "Give it one in the car file and analyse a run.");
        }

        LifeForecast forecast = LifeForecast.From([.. part.Runs.Select(LapsOf).OfType<RunDamage>()], Math.Max(0, part.Damage), critical);
        List<SheetLine> lines = [new($"{part.Part}: {LifeAsk.Percent(100 * part.Damage / critical)} % of its life used{(part.IsLowerBound ? ", or more: the damage of a run is not known" : "")}", Tone.Heading)];
        bool isShort = false;
        if (part.PastLimitSentence(part.Part) is { } past)
        {
            isShort = true;
            lines.Add(new($"{past} What follows is what fatigue alone would leave.", Tone.Alarm));
        }

        if (part.Retired is { } retired)
        {
            lines.Add(new($"It was retired on {LifeAsk.Day(retired.AtUtc)}: what follows is for the record.", Tone.Alarm));
        }

        if (forecast.LapsLeft is { } laps)
        {
            lines.Add(new(string.Create(CultureInfo.InvariantCulture, $"laps left {laps.Value:F0} (95 %: {laps.Low95:F0} to {laps.High95:F0}), from {forecast.Laps} laps of {forecast.Runs} runs"), Tone.Plain));
            if (forecast.DistanceLeftKm is { } km)
            {
                lines.Add(new(string.Create(CultureInfo.InvariantCulture, $"distance left {km.Value:F0} km (95 %: {km.Low95:F0} to {km.High95:F0})"), Tone.Plain));
            }

            if (wanted is { } planned)
            {
                bool isTooMany = planned > laps.Low95;
                isShort |= isTooMany;
                lines.Add(isTooMany
                    ? new(string.Create(CultureInfo.InvariantCulture, $"{planned} laps are not sure: plan a spare, or inspect and replace after {Math.Max(0, Math.Floor(laps.Low95)):F0}."), Tone.Alarm)
                    : new(string.Create(CultureInfo.InvariantCulture, $"{planned} laps lie below the interval: the part should last them."), Tone.Good));
            }
        }
        else
        {
            lines.Add(new("no forecast: " + forecast.WithheldBecause, Tone.Warning));
            isShort |= wanted is not null;
        }

        lines.AddRange(forecast.Cautions.Select(caution => new SheetLine(caution, Tone.Warning)));
        lines.Add(new("An estimate, not a clearance: it holds for running like that of the runs counted.", Tone.Muted));
        return ask.Print(lines, isShort ? ExitCode.Finding : ExitCode.Done);
    }

    /// <summary>The laps of a run as they were told; null where they were not kept.</summary>
    private static RunDamage? LapsOf(PartRun run)
    {
        RunFigures made = run.Place.Entry.Run!;
        ImmutableArray<double> damage = run.Figures.DamageByLap;
        return damage.IsEmpty || damage.Length != made.Laps.Length
            ? null
            : new(made.Run, [.. made.Laps.Select((lap, i) => new LapDamage(Math.Max(0, damage[i]), lap.LengthM ?? double.NaN, lap.IsComplete))]);
    }
}
