using System.Globalization;
using Telemetry.Car;

namespace Telemetry.CrossChecks;

/// <summary>Puts a fault into words: which kind of gain it is, and what a person should do.</summary>
internal static class FaultWords
{
    /// <summary>A gain this near to a known factor is that factor: wider than any uncertainty of the fit, narrower than the gap between two factors.</summary>
    private const double NearShare = 0.12;

    /// <summary>Fixed word for what a fault is, in snake case.</summary>
    public static string Word(SensorFault fault, double size) => fault.Kind switch
    {
        FaultKind.Exchange => "swapped_channels",
        FaultKind.Offset => fault.Roles[0] <= ChannelRole.PushrodLoadRR ? "zero_far_out" : "acceleration_tilt",
        _ => Math.Abs(size) < 0.03 && Unit(fault, size) is null ? "does_not_follow"
            : IsNear(size, -1) ? "sign_reversed"
            : Unit(fault, size) is not null ? "wrong_unit"
            : "wrong_gain",
    };

    /// <summary>What it says: "load cell FL counts the other way".</summary>
    public static string Statement(SensorFault fault, double size, double uncertainty)
    {
        string verb = fault.Roles.Length > 1 && fault.Subject.StartsWith("all", StringComparison.Ordinal) ? "" : "s";
        string interval = Say($"{size:0.000} ± {1.96 * uncertainty:0.000}");
        return Word(fault, size) switch
        {
            "swapped_channels" => $"{fault.Subject.TrimEnd(',')} are exchanged",
            "zero_far_out" => Say($"{fault.Subject} reads {size:+0;-0} N beside its load at standstill"),
            "acceleration_tilt" => Say($"{fault.Subject} reads {size:+0.00;-0.00} m/s2 when there is none, as if tilted by {Math.Asin(Math.Clamp(Math.Abs(size) / StandardGravity.Mps2, 0, 1)) * 180 / Math.PI:0.0} degrees"),
            "does_not_follow" => $"{fault.Subject} hardly follow{verb} the car (factor {interval})",
            "sign_reversed" => $"{fault.Subject} count{verb} the other way (factor {interval})",
            "wrong_unit" => $"{fault.Subject} {(verb.Length == 0 ? "are" : "is")} in another unit: {Unit(fault, size)} (factor {interval})",
            _ => $"{fault.Subject} read{verb} {Percent(size)} (factor {interval})",
        };
    }

    /// <summary>What to do.</summary>
    public static string Remedy(SensorFault fault, double size) => Word(fault, size) switch
    {
        "swapped_channels" when fault.FreesResponses => "Correct the axes' names under [channels], or turn the accelerometer, and analyse the log again.",
        "swapped_channels" => "Press each corner by hand and see which channel answers; then correct the names under [channels] or the plugs, and analyse the log again.",
        "zero_far_out" => "The offset is taken off. Zero the cell, and check it, its bonding and the setup sheet's corner weights before the next run.",
        "acceleration_tilt" => "Level the accelerometer in the car, or zero it on level ground.",
        "does_not_follow" => "Check the sensor, its linkage and its cable before the next run.",
        "sign_reversed" => "Check the sense by hand; then set sign = -1 (or take it away) for this channel under [channels] and analyse the log again.",
        "wrong_unit" => "Correct the channel's unit under [channels] and analyse the log again.",
        _ => fault.Roles[0] <= ChannelRole.DamperTravelRR
            ? fault.Roles[0] <= ChannelRole.PushrodLoadRR
                ? "Calibrate the cell against known weights, and check its calibration factor in the logger."
                : "Check the potentiometer against a gauge block, its calibration factor in the logger, and that the springs of both sides are a pair."
            : "Check the sensor's calibration factor in the logger.",
    };

    private static string Percent(double size) =>
        Say($"{100 * Math.Abs(size - 1):0.#} % too {(size > 1 ? "high" : "low")}");

    /// <summary>What the logged numbers seem to be, or null when the factor is of no unit. Factors are exact by definition: kgf, lbf (0.45359237 kg), inch, mile, knot.</summary>
    private static string? Unit(SensorFault fault, double size)
    {
        string? other = fault.Roles[0] switch
        {
            <= ChannelRole.PushrodLoadRR => Near(size, (1 / StandardGravity.Mps2, "kgf read as N"), (StandardGravity.Mps2, "N read as kgf"), (1 / 4.4482216, "lbf read as N"), (4.4482216, "N read as lbf"), (0.001, "kN read as N"), (1000, "N read as kN")),
            <= ChannelRole.DamperTravelRR => Near(size, (1 / 25.4, "inches read as mm"), (25.4, "mm read as inches"), (0.001, "m read as mm"), (1000, "mm read as m"), (0.1, "cm read as mm"), (10, "mm read as cm")),
            ChannelRole.Speed => Near(size, (3.6, "km/h read as m/s"), (1 / 3.6, "m/s read as km/h"), (1.609344, "km/h read as mph"), (1 / 1.609344, "mph read as km/h"), (2.2369363, "mph read as m/s"), (1 / 2.2369363, "m/s read as mph"), (0.5399568, "knots read as km/h")),
            ChannelRole.YawRate => Near(size, (57.29578, "deg/s read as rad/s"), (1 / 57.29578, "rad/s read as deg/s")),
            _ => Near(size, (1 / StandardGravity.Mps2, "g read as m/s2"), (StandardGravity.Mps2, "m/s2 read as g")),
        };
        return other is not null && size < 0 ? $"{other}, and counting the other way" : other;
    }

    private static string? Near(double size, params ReadOnlySpan<(double Factor, string Words)> known)
    {
        foreach ((double factor, string words) in known)
        {
            if (IsNear(Math.Abs(size), factor))
            {
                return words;
            }
        }

        return null;
    }

    private static bool IsNear(double size, params ReadOnlySpan<double> factors)
    {
        foreach (double factor in factors)
        {
            if (Math.Abs((size / factor) - 1) < NearShare)
            {
                return true;
            }
        }

        return false;
    }

    private static string Say(FormattableString text) => text.ToString(CultureInfo.InvariantCulture);
}
