using System.Collections.Immutable;

namespace Telemetry.Car;

/// <summary>Reads an S-N line: one slope, two slopes, a table, or a detail category of EN 1993-1-9.</summary>
internal static class SnLineReading
{
    /// <summary>The line and whether it is in force or in stress; null after a fault.</summary>
    public static (SnLine Line, Dimension Dimension)? Of(CarSection section)
    {
        if (section.Has("detail_category"))
        {
            foreach (string other in new[] { "cycles", "range", "slope", "slope_above", "slope_below", "cut_off", "small_cycles" })
            {
                if (section.Has(other))
                {
                    section.Fault(other, "stands beside detail_category, which already says it.", "Keep one of the two.");
                }
            }

            return section.Number("detail_category") is { } category ? (DetailCategory.Line(category), Dimension.Pressure) : null;
        }

        foreach (string needed in new[] { "cycles", "range" })
        {
            if (!section.Has(needed))
            {
                section.Faults.Missing(section.Line, section.PathOf(needed), "is missing.", "Give cycles and range, or detail_category.");
            }
        }

        ImmutableArray<CarValue.Item>? cycles = section.Values("cycles");
        ImmutableArray<CarValue.Item>? ranges = section.Values("range");
        CarValue.Item? cutOff = section.Item("cut_off");
        double? slope = section.Number("slope");
        double? above = section.Number("slope_above");
        double? below = section.Number("slope_below");
        if (cycles is not { } n || ranges is not { } s
            || !SuspensionReading.SameLength(section, "cycles", n.Length, "range", s.Length)
            || !SuspensionReading.Rises(section, "cycles", n) || !Falls(section, s))
        {
            return null;
        }

        Dimension dimension = s[0].Dimension;
        if (cutOff is { } floor && (floor.Dimension != dimension || floor.Value.Value >= s[^1].Value.Value))
        {
            section.Fault("cut_off", "must lie below the last range, in the same dimension.", "Correct one of the two.");
            return null;
        }

        if (section.Has("small_cycles") && section.Has("slope_below"))
        {
            section.Fault("small_cycles", "stands beside slope_below, which already says it.", "Keep one of the two.");
            return null;
        }

        // With a rule, the slope below is not asked for: it follows from the one above or from the table's last piece.
        string? rule = section.Text("small_cycles")?.ToLowerInvariant();
        if (rule is not null && n.Length == 1)
        {
            slope ??= above;
            above = null;
        }

        if (Slopes(section, n, s, slope, above, below) is not { } both)
        {
            return null;
        }

        double knee = n.Length > 1 ? Piece(n, s, n.Length - 1) : both.Above;
        double? last = rule switch
        {
            "original" => null,
            "elementary" => knee,
            "modified" => (2 * knee) - 1,
            _ => both.Below,
        };

        ImmutableArray<SnPoint> points = [.. n.Select((c, i) => new SnPoint(c.Value.Value, s[i].Value.Value))];
        return (new SnLine(points, both.Above, last, cutOff?.Value.Value), dimension);
    }

    private static bool Falls(CarSection section, ImmutableArray<CarValue.Item> ranges)
    {
        for (int i = 1; i < ranges.Length; i++)
        {
            if (ranges[i].Dimension != ranges[0].Dimension)
            {
                section.Faults.Add(ranges[i].Line, section.PathOf("range"), "mixes load and stress.", "Give all ranges as load, or all as stress.");
                return false;
            }

            if (!(ranges[i].Value.Value < ranges[i - 1].Value.Value))
            {
                section.Faults.Add(ranges[i].Line, section.PathOf("range"), $"value {i + 1} does not fall below the one before it.", "More cycles go with smaller ranges.");
                return false;
            }
        }

        return true;
    }

    private static (double Above, double Below)? Slopes(
        CarSection section, ImmutableArray<CarValue.Item> cycles, ImmutableArray<CarValue.Item> ranges, double? slope, double? above, double? below)
    {
        if (section.Has("slope") && (section.Has("slope_above") || section.Has("slope_below")))
        {
            section.Fault("slope", "stands beside slope_above or slope_below.", "Give slope for one slope, or the other two.");
            return null;
        }

        if (section.Has("slope") && cycles.Length > 1)
        {
            section.Fault("slope", $"stands beside {cycles.Length} points, which have slopes of their own.", "Remove it; slope_above and slope_below set the ends of a table.");
            return null;
        }

        for (int i = 1; i < cycles.Length; i++)
        {
            double piece = Piece(cycles, ranges, i);
            if (piece is < 1 or > 30)
            {
                section.Faults.Add(cycles[i].Line, section.PathOf("cycles"), $"the slope between points {i} and {i + 1} is {QuantityText.Show(piece)}; 1 to 30 is expected.", "Correct cycles or range.");
                return null;
            }
        }

        if (slope is { } one)
        {
            return (one, one);
        }

        if (cycles.Length == 1)
        {
            foreach (string needed in new[] { "slope_above", "slope_below" })
            {
                if (!section.Has("slope") && !section.Has(needed))
                {
                    section.Faults.Missing(section.Line, section.PathOf(needed), "is missing.", "A line through one point needs slope, or slope_above and slope_below.");
                }
            }

            return above is { } steep && below is { } flat ? (steep, flat) : null;
        }

        // A table goes on as its end pieces do. Below the last point that errs to more damage than a fatigue limit would.
        return ((section.Has("slope_above") ? above : Piece(cycles, ranges, 1)), (section.Has("slope_below") ? below : Piece(cycles, ranges, cycles.Length - 1))) is ({ } first, { } last)
            ? (first, last)
            : null;
    }

    private static double Piece(ImmutableArray<CarValue.Item> cycles, ImmutableArray<CarValue.Item> ranges, int i) =>
        Math.Log(cycles[i].Value.Value / cycles[i - 1].Value.Value) / Math.Log(ranges[i - 1].Value.Value / ranges[i].Value.Value);
}
