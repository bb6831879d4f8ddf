using System.Collections.Immutable;
using System.CommandLine;
using System.Globalization;
using Telemetry.Car;
using Telemetry.Output;
using Telemetry.Platform;

namespace Telemetry.Cli.Verbs;

/// <summary>What a person asks of shims beside a ride height, and what the statics say of it.</summary>
internal static class ShimsAsked
{
    /// <summary>A bare number with its standard uncertainty.</summary>
    public static Option<Measured?> Number(string name, string description) => new(name)
    {
        Description = description,
        HelpName = "NUMBER",
        CustomParser = result =>
        {
            string text = result.Tokens.Count == 1 ? result.Tokens[0].Value : "";
            if (Quantity.ReadNumber(text, out Measured value) is string problem)
            {
                result.AddError($"Option '{name}': {problem}");
                return null;
            }

            return value;
        },
    };

    /// <summary>How the balance follows the ride heights, % a metre up: as given, else as the map of a result has it.</summary>
    public static (Measured? PerFront, Measured? PerRear) Slopes(Summary? summary, Measured? perFrontPctPerMm, Measured? perRearPctPerMm)
    {
        if (perFrontPctPerMm is not null || perRearPctPerMm is not null || summary is null)
        {
            return (PerMetre(perFrontPctPerMm), PerMetre(perRearPctPerMm));
        }

        return HeightsInSummary.BalanceSlopes(summary);

        static Measured? PerMetre(Measured? perMm) => perMm is { } known ? new(known.Value * 1000, known.StandardUncertainty * 1000) : null;
    }

    /// <summary>A wish for the balance becomes one for a ride height.</summary>
    public static ShimWish WithBalance(ShimWish wish, double? balance, (Measured? PerFront, Measured? PerRear) slopes, Summary? summary)
    {
        if (balance is not double share)
        {
            return wish;
        }

        if (wish is not { FrontRideHeightM: null, RearRideHeightM: null, RakeRad: null })
        {
            throw new UsageError("--balance stands alone: it decides itself which axle moves.");
        }

        try
        {
            (double front, double rear) = BalanceWish.RideHeights(100 * share, slopes.PerFront, slopes.PerRear);
            return new ShimWish(front, rear, null);
        }
        catch (ArgumentException error)
        {
            string map = summary is null
                ? "or --result with a run whose ride-height map tells it."
                : $"because the map of {summary.Run.Name} does not tell it{Why(summary)}";
            throw new UsageError($"{error.Message} Give --balance-per-front or --balance-per-rear, {map}");
        }

        static string Why(Summary summary) =>
            (summary.Aero.RideHeightMap?.WithheldBecause ?? summary.Aero.RideHeightMap?.PerFrontMm?.WithheldBecause ?? summary.Aero.RideHeightMap?.PerRearMm?.WithheldBecause) is { } why ? ": " + why : ".";
    }

    /// <summary>The store: "0.1 mm x 8, 0.5 mm x 4".</summary>
    public static ImmutableArray<ShimCount> Held(string? text)
    {
        if (text is null)
        {
            return [];
        }

        return [.. text.Split(',', StringSplitOptions.TrimEntries | StringSplitOptions.RemoveEmptyEntries).Select(One)];

        static ShimCount One(string entry)
        {
            int at = entry.LastIndexOf('x');
            if (at > 0 && Quantity.ReadLength(entry[..at].Trim(), out double thickness) is null && thickness > 0
                && int.TryParse(entry[(at + 1)..].Trim(), NumberStyles.None, CultureInfo.InvariantCulture, out int count))
            {
                return new(thickness, count);
            }

            throw new UsageError($"Option '--held': '{entry}' is no shim with its count. Write \"0.1 mm x 8, 0.5 mm x 4\".");
        }
    }

    /// <summary>Predicted ride heights and balance, and what becomes of the cross-weight.</summary>
    public static void Predicted(List<SheetLine> lines, CarDefinition car, ShimPlan plan, Summary? summary, double? balance, (Measured? PerFront, Measured? PerRear) slopes)
    {
        ShimPrediction prediction = ShimPrediction.For(car, plan, summary is null ? null : HeightsInSummary.LoadSlopes(summary));
        foreach (Axle axle in (Axle[])[Axle.Front, Axle.Rear])
        {
            if (plan.Axles[axle].Shims.IsEmpty)
            {
                continue;
            }

            string name = axle == Axle.Front ? "front" : "rear";
            string stands = car.Setup.RideHeightM is { } heights ? Invariant($"{(heights[axle] + prediction.StaticM[axle].Value) * 1000:0.0} mm, ") : "";
            lines.Add(new($"Predicted {name} ride height at standstill: {stands}{Change(prediction.StaticM[axle], 1000, "mm")}", Tone.Plain));
        }

        if (prediction.AtSpeedM is { } moved && summary?.Aero.ReferenceSpeedKmh is double speed)
        {
            lines.Add(new(Invariant($"Predicted at {speed:0} km/h: front {Change(moved.Front, 1000, "mm")}, rear {Change(moved.Rear, 1000, "mm")}"), Tone.Plain));
        }

        if (ShimPrediction.BalancePct(prediction.AtSpeedM ?? prediction.StaticM, slopes.PerFront, slopes.PerRear) is { } moves)
        {
            string wished = balance is double share ? Invariant($" of {100 * share:+0.00;-0.00} wished") : "";
            lines.Add(new($"Predicted balance at speed: {Change(moves, 1, "% front")}{wished}", Tone.Plain));
        }

        lines.Add(new(prediction.AtSpeedRemark, Tone.Muted));
        if (CornerStatics.Of(car) is not { } statics)
        {
            lines.Add(new("Equal left and right: the cross-weight stays.", Tone.Plain));
            return;
        }

        double front = statics.WarpPerReachNpm(Corner.FrontLeft) / car.Suspension.Front.InstallationRatio.At(0) * 1e-4;
        double rear = statics.WarpPerReachNpm(Corner.RearLeft) / car.Suspension.Rear.InstallationRatio.At(0) * 1e-4;
        lines.Add(new("Equal left and right: corner loads and cross-weight stay.", Tone.Plain));
        lines.Add(new(Invariant($"0.1 mm at one side only would move FL+RR less FR+RL by {Math.Abs(front):0} N (front) or {Math.Abs(rear):0} N (rear)."), Tone.Muted));
    }

    private static string Change(Estimate change, double factor, string unit) =>
        Invariant($"{change.Value * factor:+0.00;-0.00;0.00} {unit} (95 %: {change.Low95 * factor:+0.00;-0.00;0.00} to {change.High95 * factor:+0.00;-0.00;0.00})");

    private static string Invariant(FormattableString text) => FormattableString.Invariant(text);
}
