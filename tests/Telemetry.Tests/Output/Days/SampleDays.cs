using Telemetry.Output;
using Telemetry.Output.Days;

namespace Telemetry.Tests.Output.Days;

/// <summary>Days with known numbers.</summary>
internal static class SampleDays
{
    public static DayRun Run(int number, string log, int minute = 0, DayHeadline? headline = null, string? error = null, string car = "") => new()
    {
        Status = error is null ? "done" : "failed",
        Log = log,
        LogSha256 = new string((char)('a' + (number % 6)), 63) + (number % 10),
        Folder = DayOrder.Folder(log, []),
        CarSha256 = car,
        PlacedAtUtc = DayOrder.Text(new DateTimeOffset(2026, 3, 31, 10, minute, 0, TimeSpan.Zero)),
        IsPlacedByFile = false,
        HasLedger = true,
        Error = error,
        Headline = error is null ? headline ?? Headline() : null,
    };

    /// <summary>A curve with lift areas that rise by 0.01 m2 a km/h from 1 at 200 km/h in front and from 2 at the rear.</summary>
    public static DayHeadline Headline(double from = 200, double to = 240, double? reference = 220, string part = "PR-1", double? life = 10) => new()
    {
        Car = "Car",
        Laps = 5,
        DurationS = 600,
        Health = "good",
        Findings = 0,
        AeroWithheldBecause = null,
        ReferenceSpeedKmh = reference,
        Aero =
        [
            .. new[] { from, (from + to) / 2 + 1, to }.Select(speed => new DayAero(
                speed, Estimate(1 + (0.01 * (speed - 200))), Estimate(2 + (0.01 * (speed - 200))), Estimate(40))),
        ],
        Strikes = 12,
        Exceedances = 1,
        Peak = new(part, 12_345, 100, false, true),
        Life = [new(part, life, "inspect"), new("no S-N line yet", null, "unknown")],
        Actions = [new("before_next_run", part, $"Inspect {part}.", "Because."), new("soon", "log", "Look.", "Because.")],
    };

    private static SummaryEstimate Estimate(double value) => new(value, value - 0.1, value + 0.1);
}
