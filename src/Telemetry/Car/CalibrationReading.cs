using System.Collections.Immutable;

namespace Telemetry.Car;

/// <summary>Reads the calibrations of the load cells.</summary>
internal static class CalibrationReading
{
    /// <summary>Standard uncertainty of known loads when the file does not say, as a share: scales of class III with 1000 divisions in use (OIML R 76, from memory: one division at full load).</summary>
    public const double UnknownAppliedShare = 0.001;

    /// <summary>Fewest steps: a straight line through three has one degree of freedom left to say how well it fits.</summary>
    private const int FewestSteps = 3;

    /// <summary>A slope needs loads that differ; below this share of the largest they are one load.</summary>
    private const double SmallestSpan = 0.1;

    private static readonly string[] OfOneCell = ["applied", "reading", "cell"];

    private static readonly string[] Stems = ["scales_", "reading_", "travel_"];

    /// <summary>The records in the order of the file; those with a fault are left out.</summary>
    public static ImmutableArray<CalibrationRecord> Of(CarSection root, ImmutableArray<ChannelMapping> channels)
    {
        ImmutableArray<CalibrationRecord>.Builder records = ImmutableArray.CreateBuilder<CalibrationRecord>();
        int number = 0;
        foreach (CarSection section in root.Sections("calibrations"))
        {
            number++;
            string[] corners = [.. Stems.SelectMany(stem => Corners.All.Select(corner => stem + Code(corner)))];
            section.RefuseUnknown(["date", "valid_until", "by", "corner", "cell", "applied_uncertainty", "applied", "reading", .. corners]);
            if (One(section, number) is { } record)
            {
                Compare(section, record, channels);
                records.Add(record);
            }
        }

        return records.ToImmutable();
    }

    private static CalibrationRecord? One(CarSection section, int number)
    {
        DateOnly? date = section.Date("date");
        DateOnly? until = section.Date("valid_until");
        if (date > until)
        {
            section.Fault("valid_until", "lies before the date of the calibration.", "Correct one of the two.");
        }

        string? by = section.Text("by");
        string? cell = section.Text("cell");
        double uncertainty = section.Number("applied_uncertainty") ?? UnknownAppliedShare;
        string? code = section.Text("corner");
        Corner? corner = code is null ? null : Corners.FromCode(code);
        if (section.Has("corner") && corner is null)
        {
            return null;
        }

        PerCorner<ImmutableArray<double>> none = PerCorner.Of(_ => default(ImmutableArray<double>));
        (PerCorner<ImmutableArray<double>> Applied, PerCorner<ImmutableArray<double>> Reading, PerCorner<ImmutableArray<double>> Travel)? lists =
            corner is Corner one ? Bench(section, one, none) : Scales(section, none);
        return lists is not { } given ? null : new CalibrationRecord
        {
            Number = number,
            Date = date,
            ValidUntil = until,
            By = by,
            CellSerial = cell,
            Corner = corner,
            AppliedN = given.Applied,
            ReadingN = given.Reading,
            DamperTravelM = given.Travel,
            AppliedUncertaintyShare = uncertainty,
        };
    }

    private static (PerCorner<ImmutableArray<double>>, PerCorner<ImmutableArray<double>>, PerCorner<ImmutableArray<double>>)? Bench(
        CarSection section, Corner corner, PerCorner<ImmutableArray<double>> none)
    {
        foreach (string name in Stems.SelectMany(stem => Corners.All.Select(c => stem + Code(c))).Where(section.Has))
        {
            section.Fault(name, "belongs to a car on its scales, and this record is of one cell.", "Remove it, or remove corner and give scales_fl to reading_rr.");
        }

        ImmutableArray<double>? applied = List(section, "applied", "applied");
        ImmutableArray<double>? reading = List(section, "reading", "reading");
        if (applied is not { } loads || reading is not { } read || !Fits(section, "applied", loads, "reading", read) || !Spans(section, "applied", loads))
        {
            return null;
        }

        return (none.Select((c, own) => c == corner ? loads : own), none.Select((c, own) => c == corner ? read : own), none);
    }

    private static (PerCorner<ImmutableArray<double>>, PerCorner<ImmutableArray<double>>, PerCorner<ImmutableArray<double>>)? Scales(
        CarSection section, PerCorner<ImmutableArray<double>> none)
    {
        foreach (string name in OfOneCell.Where(section.Has))
        {
            section.Fault(name, "belongs to a calibration of one cell, and this record names no corner.", "Add corner = \"FL\", or give scales_fl to scales_rr and reading_fl to reading_rr.");
        }

        PerCorner<ImmutableArray<double>?> scales = PerCorner.Of(c => List(section, "scales_" + Code(c), "scales_CORNER"));
        PerCorner<ImmutableArray<double>?> reading = PerCorner.Of(c => List(section, "reading_" + Code(c), "reading_CORNER"));
        PerCorner<ImmutableArray<double>?> travel = PerCorner.Of(c => section.Has("travel_" + Code(c)) ? List(section, "travel_" + Code(c), "travel_CORNER") : null);
        bool isGood = true;
        int length = -1;
        foreach (Corner corner in Corners.All)
        {
            string name = "scales_" + Code(corner);
            if (scales[corner] is not { } weights || reading[corner] is not { } read)
            {
                isGood = false;
                continue;
            }

            length = length < 0 ? weights.Length : length;
            isGood &= Fits(section, name, weights, "reading_" + Code(corner), read) && Spans(section, name, weights);
            if (weights.Length != length)
            {
                section.Fault(name, $"has {weights.Length} values while another wheel has {length}.", "Give the weight under all four wheels at each step.");
                isGood = false;
            }

            if (section.Has("travel_" + Code(corner)))
            {
                isGood &= travel[corner] is { } at && SuspensionReading.SameLength(section, "travel_" + Code(corner), at.Length, name, weights.Length);
            }
        }

        return isGood ? (scales.Select((_, list) => list!.Value), reading.Select((_, list) => list!.Value), travel.Select((_, list) => list ?? default)) : null;
    }

    private static ImmutableArray<double>? List(CarSection section, string name, string pattern)
    {
        if (!section.Has(name))
        {
            section.Faults.Missing(section.Line, section.PathOf(name), "is missing.", "A calibration of one cell has corner, applied and reading; of a car on its scales, scales_fl to scales_rr and reading_fl to reading_rr.");
            return null;
        }

        return section.Values(name, patternName: pattern) is { } items ? [.. items.Select(item => item.Value.Value)] : null;
    }

    private static bool Fits(CarSection section, string first, ImmutableArray<double> loads, string second, ImmutableArray<double> read)
    {
        if (loads.Length < FewestSteps)
        {
            section.Fault(first, $"has {loads.Length} values; a calibration needs at least {FewestSteps}.", "Give more steps, from no load to the largest and back.");
            return false;
        }

        return SuspensionReading.SameLength(section, second, read.Length, first, loads.Length);
    }

    private static bool Spans(CarSection section, string name, ImmutableArray<double> loads)
    {
        if (loads.Max() - loads.Min() >= SmallestSpan * loads.Max(Math.Abs))
        {
            return true;
        }

        section.Fault(name, "the loads hardly differ, so they say nothing about a gain.", "Give loads from as little as possible to as much as the cell sees on the road.");
        return false;
    }

    /// <summary>Tells a record that is of another cell than the one that is fitted.</summary>
    private static void Compare(CarSection section, CalibrationRecord record, ImmutableArray<ChannelMapping> channels)
    {
        if (record is { CellSerial: string cell, Corner: Corner corner }
            && channels.FirstOrDefault(mapping => mapping.Role == ChannelRoles.PushrodLoad(corner))?.Serial is string fitted && fitted != cell)
        {
            section.Faults.Warn(section.LineOf("cell"), section.PathOf("cell"), $"is \"{cell}\", and {corner.Code()} has the cell \"{fitted}\" fitted: the record is not used.", "Keep it for the day the cell comes back, or correct one of the two.");
        }
    }

    private static string Code(Corner corner) => corner.Code().ToLowerInvariant();
}
