using System.Collections.Immutable;
using static Telemetry.Output.NumberText;

namespace Telemetry.Output;

/// <summary>One quantity of two runs.</summary>
/// <param name="Name">What it is.</param>
/// <param name="Unit">Its unit.</param>
/// <param name="First">In the first run.</param>
/// <param name="Second">In the second run.</param>
/// <param name="Difference">Second minus first, with its 95 % interval.</param>
public sealed record ComparedQuantity(string Name, string Unit, Estimate First, Estimate Second, Estimate Difference)
{
    /// <summary>True when the interval of the difference does not hold 0, so that the change is real at 95 %.</summary>
    public bool IsReal => Difference.Low95 > 0 || Difference.High95 < 0;

    /// <summary>The finding as a plain sentence.</summary>
    public string Statement => IsReal
        ? $"{Name} {(Difference.Value > 0 ? "rose" : "fell")} by {Interval(Absolute())} {Unit}: a real change at 95 %."
        : $"{Name}: no change is shown; the difference of {Interval(Difference)} {Unit} may be chance.";

    private Estimate Absolute() => Difference.Value >= 0
        ? Difference
        : new(-Difference.Value, -Difference.High95, -Difference.Low95);
}

/// <summary>What changed in aero load between two runs of one car, at one speed.</summary>
/// <remarks>
/// The runs are taken as independent: half-widths add as squares. Parts that both runs share (masses, ratios, and zeros as far as
/// they come from the same scales) would cancel in the difference, so its interval is too wide by up to that much and never too
/// narrow on their account: a change that is called real stays real; one that is not shown may still be there.
/// </remarks>
public sealed record RunComparison
{
    /// <summary>Air density at which loads are compared, kg/m3: that of the international standard atmosphere at sea level (ISO 2533).</summary>
    public const double DensityKgM3 = 1.225;

    /// <summary>Air speed of the comparison, km/h; NaN when withheld.</summary>
    public required double SpeedKmh { get; init; }

    /// <summary>Why nothing is compared, or null.</summary>
    public required string? WithheldBecause { get; init; }

    /// <summary>The quantities; empty when withheld.</summary>
    public required ImmutableArray<ComparedQuantity> Quantities { get; init; }

    /// <summary>What was set differently by the car files, and doubts about either log, as sentences.</summary>
    public required ImmutableArray<string> Notes { get; init; }

    /// <summary>Compares two summaries.</summary>
    /// <param name="first">The baseline.</param>
    /// <param name="second">The other run.</param>
    /// <exception cref="InputError">The car files turn pushrod loads into wheel loads differently; all fields that differ are in it.</exception>
    public static RunComparison Between(Summary first, Summary second)
    {
        ArgumentNullException.ThrowIfNull(first);
        ArgumentNullException.ThrowIfNull(second);
        RequireSameCar(first, second);
        ImmutableArray<string> notes = [.. Setup(first, second), .. Doubts(first), .. Doubts(second)];
        double? speed = CommonSpeed(first.Aero, second.Aero);
        string? withheld = first.Aero.WithheldBecause is string a ? $"{first.Run.Name} has no aero load: {a}"
            : second.Aero.WithheldBecause is string b ? $"{second.Run.Name} has no aero load: {b}"
            : speed is null ? "The two runs have no air speed in common."
            : null;
        if (withheld is not null)
        {
            return new() { SpeedKmh = double.NaN, WithheldBecause = withheld, Quantities = [], Notes = notes };
        }

        double q = DensityKgM3 / 2 * Math.Pow(speed!.Value / KmhPerMps, 2);
        (AeroPoint one, AeroPoint two) = (AeroPoint.At(first.Aero, speed.Value), AeroPoint.At(second.Aero, speed.Value));
        return new()
        {
            SpeedKmh = speed.Value,
            WithheldBecause = null,
            Quantities =
            [
                Quantity("Front load", "N", Scaled(one.Front, q), Scaled(two.Front, q)),
                Quantity("Rear load", "N", Scaled(one.Rear, q), Scaled(two.Rear, q)),
                Quantity("Total load", "N", Scaled(one.Total, q), Scaled(two.Total, q)),
                Quantity("Front lift area", "m2", one.Front, two.Front),
                Quantity("Rear lift area", "m2", one.Rear, two.Rear),
                Quantity("Total lift area", "m2", one.Total, two.Total),
                Quantity("Balance front", "%", one.Balance, two.Balance),
            ],
            Notes = notes,
        };
    }

    private static void RequireSameCar(Summary first, Summary second)
    {
        InputFault[] faults =
        [
            .. from field in first.Car.Basis
               let other = second.Car.Basis.FirstOrDefault(f => f.Field == field.Field)?.Value
               where other != field.Value
               select new InputFault(
                   $"{first.Run.Name} against {second.Run.Name}, {field.Field}",
                   $"It is {field.Value} in the first and {other ?? "not given"} in the second, so a difference in load may be the car file's.",
                   "Analyse both logs with one car file."),
        ];
        if (faults.Length > 0)
        {
            throw new InputError(faults);
        }
    }

    private static IEnumerable<string> Setup(Summary first, Summary second) =>
        from field in first.Car.Setup
        let other = second.Car.Setup.FirstOrDefault(f => f.Field == field.Field)?.Value
        where other != field.Value
        select $"Set differently: {field.Field}, {field.Value} against {other ?? "not given"}.";

    private static IEnumerable<string> Doubts(Summary summary) => summary.Health.Verdict == "good"
        ? []
        : [$"The log of {summary.Run.Name} is {summary.Health.Verdict}: {Count(summary.Health.Findings.Length, "finding")}."];

    /// <summary>The first run's reference speed where the second covers it, else the second's where the first does, else the highest that both cover.</summary>
    private static double? CommonSpeed(SummaryAero first, SummaryAero second)
    {
        if (first.ReferenceSpeedKmh is not double a || second.ReferenceSpeedKmh is not double b)
        {
            return null;
        }

        if (AeroPoint.Covers(second, a))
        {
            return a;
        }

        if (AeroPoint.Covers(first, b))
        {
            return b;
        }

        if (first.Curve.IsEmpty || second.Curve.IsEmpty)
        {
            return null;
        }

        double high = Math.Min(first.Curve[^1].SpeedKmh ?? double.NaN, second.Curve[^1].SpeedKmh ?? double.NaN);
        return AeroPoint.Covers(first, high) && AeroPoint.Covers(second, high) ? high : null;
    }

    private static ComparedQuantity Quantity(string name, string unit, Estimate first, Estimate second)
    {
        double difference = second.Value - first.Value;
        double down = double.Hypot(second.Value - second.Low95, first.High95 - first.Value);
        double up = double.Hypot(second.High95 - second.Value, first.Value - first.Low95);
        return new(name, unit, first, second, new(difference, difference - down, difference + up));
    }

    private static Estimate Scaled(Estimate estimate, double factor) =>
        new(estimate.Value * factor, estimate.Low95 * factor, estimate.High95 * factor);
}

/// <summary>Lift areas and balance of a summary at one speed: the headline itself, or a straight line between neighbours of the curve.</summary>
internal sealed record AeroPoint(Estimate Front, Estimate Rear, Estimate Total, Estimate Balance)
{
    /// <summary>Speeds nearer than this are the same: what six digits leave of one, km/h.</summary>
    private const double SameKmh = 0.01;

    public static bool Covers(SummaryAero aero, double kmh) =>
        IsReference(aero, kmh) || (!aero.Curve.IsEmpty && kmh >= aero.Curve[0].SpeedKmh - SameKmh && kmh <= aero.Curve[^1].SpeedKmh + SameKmh);

    public static AeroPoint At(SummaryAero aero, double kmh)
    {
        if (IsReference(aero, kmh) && aero.BalanceFrontPct is SummaryEstimate balance)
        {
            return new(Of(aero.Front.ClaM2), Of(aero.Rear.ClaM2), Of(aero.Total.ClaM2), Of(balance));
        }

        int above = 1;
        while (above < aero.Curve.Length - 1 && aero.Curve[above].SpeedKmh < kmh)
        {
            above++;
        }

        (SummaryAeroAtSpeed low, SummaryAeroAtSpeed high) = (aero.Curve[Math.Min(above, aero.Curve.Length) - 1], aero.Curve[Math.Min(above, aero.Curve.Length - 1)]);
        double width = high.SpeedKmh!.Value - low.SpeedKmh!.Value;
        double share = width > 0 ? Math.Clamp((kmh - low.SpeedKmh.Value) / width, 0, 1) : 0;
        return new(
            Between(low.Front.ClaM2, high.Front.ClaM2, share),
            Between(low.Rear.ClaM2, high.Rear.ClaM2, share),
            Between(low.Total.ClaM2, high.Total.ClaM2, share),
            Between(low.BalanceFrontPct, high.BalanceFrontPct, share));
    }

    private static bool IsReference(SummaryAero aero, double kmh) =>
        aero.ReferenceSpeedKmh is double reference && Math.Abs(reference - kmh) < SameKmh;

    private static Estimate Between(SummaryEstimate? low, SummaryEstimate? high, double share)
    {
        (Estimate a, Estimate b) = (Of(low), Of(high));
        return new(
            double.Lerp(a.Value, b.Value, share),
            double.Lerp(a.Low95, b.Low95, share),
            double.Lerp(a.High95, b.High95, share));
    }

    private static Estimate Of(SummaryEstimate? estimate) =>
        new(estimate?.Value ?? double.NaN, estimate?.Low95 ?? double.NaN, estimate?.High95 ?? double.NaN);
}
