using System.CommandLine;
using Telemetry.Cli.Verbs.Life;

namespace Telemetry.Cli.Verbs;

/// <summary>The life of the parts: what is known of them, and what people enter.</summary>
internal static class LifeVerb
{
    public static Command Create(Screen screen)
    {
        LifeAsk ask = new(screen);
        Option<string?> car = new("--car") { Description = "Car file: states critical damage where the ledger has none.", HelpName = "CAR" };
        HelpExamples.Verb verb = new(
            "life",
            "The life ledger: damage, life used, largest loads and runs of each part; and what people enter about them. Without a verb behind it, shows all parts.",
            "pushrod life --ledger parts.db",
            "pushrod life history P12 --ledger parts.db",
            "pushrod life fit P13 --car car.toml --corner FL --ledger parts.db")
        {
            ask.Ledger, car,
        };
        verb.SetAction(parsed => LifeShow.Run(ask, parsed, parsed.GetValue(car)));
        HelpExamples.Verb show = new("show", "Show all parts.", "pushrod life show --ledger parts.db") { car };
        show.SetAction(parsed => LifeShow.Run(ask, parsed, parsed.GetValue(car)));
        verb.Add(show);
        verb.Add(LifeHistory.Create(ask));
        foreach (Command entry in LifeEntries.Create(ask))
        {
            verb.Add(entry);
        }

        verb.Add(LifeForecasts.Create(ask));
        verb.Add(LifeVerify.Create(ask));
        verb.Add(LifeCopies.CreateExport(ask));
        verb.Add(LifeCopies.CreateImport(ask));
        return verb;
    }
}
