using System.Collections.Immutable;
using System.CommandLine;
using System.Globalization;
using Telemetry.Car;
using Telemetry.Output;
using Telemetry.Platform;

namespace Telemetry.Cli.Verbs;

/// <summary>Shims for a wished ride height or rake.</summary>
internal static class ShimsVerb
{
    public static Command Create(Screen screen, Pipeline pipeline)
    {
        Option<string> car = Ask.Car();
        Option<double?> front = Ask.ForQuantity("--front", "LENGTH", "Change of the front ride height, up positive: \"+2 mm\".", Quantity.ReadLength);
        Option<double?> rear = Ask.ForQuantity("--rear", "LENGTH", "Change of the rear ride height, up positive.", Quantity.ReadLength);
        Option<double?> rake = Ask.ForQuantity("--rake", "ANGLE", "Change of the rake, nose-down positive: \"0.1 deg\". Alone, it moves the rear.", Quantity.ReadAngle);
        Option<string?> result = new("--result") { Description = "A result folder of 'analyse': shows ride heights, rake and balance at speed that follow, by its ride-height map.", HelpName = "DIR" };
        Option<double?> balance = Ask.ForQuantity("--balance", "SHARE", "Change of the aero balance at speed, front share up positive: \"0.5 %\".", Quantity.ReadShare);
        Option<Measured?> perFront = ShimsAsked.Number("--balance-per-front", "Change of the balance by front ride height, % per mm up: \"-0.6 ± 0.1\". Default: by the map of --result.");
        Option<Measured?> perRear = ShimsAsked.Number("--balance-per-rear", "The same by rear ride height.");
        Option<string?> held = new("--held") { Description = "Shims that the workshop holds, for all pushrods: \"0.1 mm x 8, 0.5 mm x 4\". Default: any number of the car file's.", HelpName = "SHIMS" };
        Option<string[]> check = new("--check") { Description = "Two logs, before and after: was the wished change made?", HelpName = "LOG", Arity = new ArgumentArity(2, 2), AllowMultipleArgumentsPerToken = true };
        Option<bool> quiet = Ask.Quiet();
        HelpExamples.Verb verb = new(
            "shims",
            "The shim stack at each pushrod for a wished change of ride height or rake, in the steps that the workshop holds.",
            "pushrod shims --car car.toml --front \"-1.5 mm\"",
            "pushrod shims --car car.toml --rake \"0.10 deg\" --result run7",
            "pushrod shims --car car.toml --balance \"0.5 %\" --result run7",
            "pushrod shims --car car.toml --rear \"2 mm\" --check a.csv b.csv")
        {
            car, front, rear, rake, balance, perFront, perRear, held, result, check, quiet,
        };
        verb.SetAction(parsed =>
        {
            Summary? summary = parsed.GetValue(result) is { } folder ? SummaryFile.Read(Path.Combine(folder, ResultFolder.Mark)) : null;
            (Measured? PerFront, Measured? PerRear) slopes = ShimsAsked.Slopes(summary, parsed.GetValue(perFront), parsed.GetValue(perRear));
            ShimWish wish = ShimsAsked.WithBalance(
                new ShimWish(parsed.GetValue(front), parsed.GetValue(rear), parsed.GetValue(rake)),
                parsed.GetValue(balance),
                slopes,
                summary);
            string carPath = parsed.GetRequiredValue(car);
            ShimPlan plan = Plan(carPath, wish, ShimsAsked.Held(parsed.GetValue(held)), out CarDefinition read);
            if (parsed.GetValue(check) is { Length: 2 } logs)
            {
                using Progress progress = new(screen, parsed.GetValue(quiet));
                return ShimCheckSheet.Run(screen, pipeline, carPath, plan, logs, progress);
            }

            return Run(screen, read, plan, summary, parsed.GetValue(balance), slopes);
        });
        return verb;
    }

    private static ShimPlan Plan(string carPath, ShimWish wish, ImmutableArray<ShimCount> held, out CarDefinition car)
    {
        switch (wish)
        {
            case { FrontRideHeightM: null, RearRideHeightM: null, RakeRad: null }:
                throw new UsageError("Nothing is wished. Give --front, --rear, --rake or --balance.");
            case { FrontRideHeightM: not null, RearRideHeightM: not null, RakeRad: not null }:
                throw new UsageError("--front, --rear and --rake together say too much: any two give the third.");
        }

        car = CarFile.Read(carPath);
        if (car.ShimStepsM.IsEmpty && held.IsDefaultOrEmpty)
        {
            throw new InputError($"{carPath}, shims.steps", "The file lists no shims.", "Add [shims] with steps = [\"0.1 mm\", \"0.2 mm\", ...]: the thicknesses that the workshop holds.");
        }

        try
        {
            return ShimStacks.For(car, wish, held);
        }
        catch (ArgumentException error)
        {
            throw new UsageError(error.Message);
        }
    }

    private static int Run(Screen screen, CarDefinition car, ShimPlan plan, Summary? summary, double? balance, (Measured? PerFront, Measured? PerRear) slopes)
    {
        List<SheetLine> lines = [new(car.Name, Tone.Heading)];
        Axle(lines, "Front", "FL and FR", plan.Axles.Front);
        Axle(lines, "Rear", "RL and RR", plan.Axles.Rear);
        string after = plan.StaticRakeRad is double rake ? $", {Degrees(rake)} deg afterwards at standstill" : "";
        lines.Add(new($"Rake: {Signed(plan.RakeChangeRad * 180 / Math.PI, 3)} deg{after} (nose-down positive)", Tone.Plain));
        ShimsAsked.Predicted(lines, car, plan, summary, balance, slopes);

        if (summary is not null)
        {
            AtSpeed(lines, summary, plan);
        }

        lines.Add(new("To first order: aero load and travel move with ride height, so measure again.", Tone.Muted));
        SheetPrinter.Print(lines.Select(line => line with { Text = SheetPrinter.Plain(line.Text) }), screen);
        return ExitCode.Done;
    }

    private static void Axle(List<SheetLine> lines, string name, string corners, AxleShims axle)
    {
        if (axle.WishedM == 0)
        {
            lines.Add(new($"{name}: unchanged", Tone.Plain));
            return;
        }

        string shims = axle.Shims.IsEmpty
            ? "none; the wish is less than half the thinnest shim"
            : (axle.StackM > 0 ? "put in " : "take out ") + string.Join(" + ", axle.Shims.Select(shim => $"{shim.Count} x {Millimetres(shim.ThicknessM, 3)} mm"));
        lines.Add(new($"{name}: at each of {corners} {shims}", Tone.Heading));
        lines.Add(new($"  pushrod {Signed(axle.StackM * 1000, 3)} mm (exact {Signed(axle.PushrodChangeM * 1000, 3)} mm)", Tone.Plain));
        lines.Add(new($"  ride height {Signed(axle.AchievedM * 1000, 2)} mm of {Signed(axle.WishedM * 1000, 2)} mm wished; remainder {Signed(axle.RemainderM * 1000, 2)} mm", Tone.Plain));
    }

    private static void AtSpeed(List<SheetLine> lines, Summary summary, ShimPlan plan)
    {
        if (summary.Platform.BySpeed.IsEmpty)
        {
            lines.Add(new($"{summary.Run.Name} has no ride heights at speed.", Tone.Warning));
            return;
        }

        lines.Add(new($"Rake at speed, from {summary.Run.Name}, deg (95 %):", Tone.Heading));
        double change = plan.RakeChangeRad * 180 / Math.PI;
        foreach (SummaryPlatformAtSpeed at in summary.Platform.BySpeed)
        {
            if (at is { SpeedKmh: double speed, RakeDeg: { Value: double value, Low95: double low, High95: double high } })
            {
                lines.Add(new(string.Create(CultureInfo.InvariantCulture, $"  {speed,4:F0} km/h  {value:F3} -> {value + change:F3} ({low + change:F3} to {high + change:F3})"), Tone.Plain));
            }
        }
    }

    private static string Degrees(double radians) => (radians * 180 / Math.PI).ToString("F3", CultureInfo.InvariantCulture);

    private static string Millimetres(double metres, int decimals) =>
        (metres * 1000).ToString(decimals == 3 ? "0.00#" : "0.00", CultureInfo.InvariantCulture);

    private static string Signed(double value, int decimals)
    {
        string text = Math.Abs(value).ToString("F" + decimals.ToString(CultureInfo.InvariantCulture), CultureInfo.InvariantCulture);
        return text.AsSpan().IndexOfAnyInRange('1', '9') < 0 ? text : (value < 0 ? "-" : "+") + text;
    }
}
