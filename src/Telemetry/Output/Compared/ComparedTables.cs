using System.Collections.Immutable;
using Telemetry.Output.Tables;
using static Telemetry.Output.NumberText;

namespace Telemetry.Output.Compared;

/// <summary>The tables behind the pictures of a comparison.</summary>
internal static class ComparedTables
{
    /// <summary>About as many speeds as fit a screen.</summary>
    private const int Speeds = 6;

    /// <summary>Curves of every run and what each is more than the first.</summary>
    public static ResultTable Curves(ComparedSet set, string name, string title, ImmutableArray<ComparedCurve> curves)
    {
        ImmutableArray<TableColumn> columns =
        [
            new("quantity", ""), new("speed", "km/h"),
            .. set.Runs.Select(run => new TableColumn(run.Label, "")),
            .. set.Runs.Skip(1).Select(run => new TableColumn($"run {run.Run.Order} less run 1", "")),
        ];
        var rows = ImmutableArray.CreateBuilder<ImmutableArray<TableCell>>();
        foreach (ComparedCurve curve in curves)
        {
            double[] speeds = [.. (curve.Runs.FirstOrDefault(run => !run.IsEmpty) is { IsDefault: false } first ? first : []).Select(point => point.X)];
            int step = Math.Max(1, (speeds.Length + Speeds - 1) / Speeds);
            for (int i = 0; i < speeds.Length; i += step)
            {
                double x = speeds[i];
                rows.Add(
                [
                    $"{curve.Heading}, {curve.Unit}", x,
                    .. Enumerable.Range(0, set.Runs.Length).Select(r => (TableCell)(curve.At(r, x) is { } at ? Interval(at) : "")),
                    .. Enumerable.Range(1, set.Runs.Length - 1).Select(r => (TableCell)(Less(curve, r, x) is { } less ? ComparedUnits.Change(less) : "")),
                ]);
            }
        }

        return new(name, title, columns, rows.ToImmutable());
    }

    /// <summary>Peaks, margins and damage of every part in every run, one part after the other.</summary>
    public static ResultTable Parts(ComparedSet set) => new(
        "compared_parts",
        "Every part in every run",
        [
            new("part", ""), new("run", ""), new("verdict", ""), new("limit used", "%", 1), new("margin of safety", "-", 2), new("peak compression", "kN", 2), new("peak tension", "kN", 2),
            new("damage of the run", "-", 7), new("low", "-", 7), new("high", "-", 7),
        ],
        [.. from part in ComparedPart.Of(set.Runs)
            from pair in part.Runs.Zip(set.Runs)
            where pair.First is not null
            let one = pair.First
            select ImmutableArray.CreateRange<TableCell>(
            [
                part.Id, pair.Second.Label, one.Verdict, ComparedPart.LimitUsedPct(one.MarginOfSafety), Known(one.MarginOfSafety), Known(one.PeakCompressionN) / 1000, Known(one.PeakTensionN) / 1000,
                Known(one.DamageRun), Known(one.DamageRunLow95), Known(one.DamageRunHigh95),
            ])]);

    /// <summary>Every kerb of every run along the lap, so that one kerb's runs stand together.</summary>
    public static ResultTable Kerbs(ComparedSet set) => new(
        "compared_kerbs",
        "Every kerb in every run, along the lap",
        [new("distance", "m"), new("side", ""), new("run", ""), new("strikes", "-"), new("laps with a strike", "-"), new("worst peak load", "kN", 2), new("peak is a lower bound", ""), new("corner", ""), new("past a limit", "-")],
        [.. from subject in set.Runs
            from kerb in subject.Summary.Kerbs.Kerbs
            orderby kerb.DistanceM ?? double.PositiveInfinity, subject.Run.Order
            select ImmutableArray.CreateRange<TableCell>(
                [Known(kerb.DistanceM), kerb.Side, subject.Label, kerb.Strikes, kerb.Laps, Known(kerb.WorstPeakLoadN) / 1000, ReviewTables.YesNo(kerb.WorstPeakIsLowerBound), kerb.WorstCorner, kerb.Exceedances])]);

    /// <summary>Strikes of each run, with the reason where there are none to tell.</summary>
    public static ResultTable Strikes(ComparedSet set) => new(
        "compared_strikes",
        "Kerb strikes of each run",
        [new("run", ""), new("laps", "-"), new("strikes", "-"), new("past a limit", "-"), new("lower bounds", "-"), new("not judged", "-"), new("withheld because", "")],
        [.. set.Runs.Select(subject => ImmutableArray.CreateRange<TableCell>(
        [
            subject.Label, subject.Run.Laps, subject.Summary.Kerbs.Strikes ?? double.NaN, subject.Summary.Kerbs.Exceedances ?? double.NaN, subject.Summary.Kerbs.LowerBounds ?? double.NaN,
            subject.Summary.Kerbs.NotJudged, subject.Summary.Kerbs.WithheldBecause ?? "",
        ]))]);

    /// <summary>What was found in the log of each run; a run without a finding has its row too.</summary>
    public static ResultTable Health(ComparedSet set) => new(
        "compared_health",
        "Findings in the log of each run",
        [new("run", ""), new("log", ""), new("channel", ""), new("severity", ""), new("message", ""), new("consequence", ""), new("remedy", "")],
        [.. set.Runs.SelectMany(subject => subject.Summary.Health.Findings is { IsDefaultOrEmpty: false } findings
            ? findings.Select(finding => ImmutableArray.CreateRange<TableCell>([subject.Label, subject.Summary.Health.Verdict, finding.Channel, finding.Severity, finding.Message, finding.Consequence, finding.Remedy]))
            : [ImmutableArray.CreateRange<TableCell>([subject.Label, subject.Summary.Health.Verdict, "", "", "No finding.", "", ""])])]);

    /// <summary>What each run asks of a person.</summary>
    public static ResultTable Actions(ComparedSet set) => new(
        "compared_actions",
        "What each run asks of a person",
        [new("run", ""), new("when", ""), new("subject", ""), new("what to do", ""), new("because", "")],
        [.. from subject in set.Runs
            from action in subject.Summary.Actions
            select ImmutableArray.CreateRange<TableCell>([subject.Label, action.Urgency == "before_next_run" ? "before the next run" : "soon", action.Subject, action.Instruction, action.Because])]);

    private static Estimate? Less(ComparedCurve curve, int run, double x)
    {
        foreach (CurvePoint point in curve.LessFirst(run))
        {
            if (Math.Abs(point.X - x) < 0.01)
            {
                return point.Y;
            }
        }

        return null;
    }

    private static double Known(double? value) => value ?? double.NaN;
}
