using System.Collections.Immutable;
using Telemetry.Comparison;

namespace Telemetry.Output.Compared;

/// <summary>A comparison and the summaries of its runs, side by side: what pictures and tables of a comparison are made from.</summary>
/// <param name="Result">The comparison.</param>
/// <param name="Runs">The runs in the order driven; empty when only the comparison itself is known.</param>
internal sealed record ComparedSet(ComparisonResult Result, ImmutableArray<ComparedSubject> Runs)
{
    /// <summary>Joins the two.</summary>
    /// <exception cref="ArgumentException">There are summaries, and not one for each run.</exception>
    public static ComparedSet Of(ComparisonResult result, IReadOnlyList<Summary> summaries)
    {
        if (summaries.Count > 0 && summaries.Count != result.Runs.Length)
        {
            throw new ArgumentException($"{summaries.Count} summaries are given for {result.Runs.Length} runs.", nameof(summaries));
        }

        return new(result, [.. summaries.Select((summary, i) => new ComparedSubject(result.Runs[i], summary))]);
    }

    /// <summary>The first difference of that quantity, or null.</summary>
    public QuantityDifference? First(ComparedKind kind) =>
        Result.Differences.IsEmpty ? null : Result.Differences[0].Quantities.FirstOrDefault(quantity => quantity.Kind == kind);
}

/// <summary>A run of a comparison with its own results.</summary>
internal sealed record ComparedSubject(ComparedRun Run, Summary Summary)
{
    /// <summary>How the run is called beside others: order, setup and name, because two runs may have one setup and two files one name.</summary>
    public string Label => $"{Run.Order} {Run.Setup}: {Run.Name}";
}

/// <summary>A value with its interval at one place of a curve.</summary>
internal readonly record struct CurvePoint(double X, Estimate Y);

/// <summary>One quantity of every run against speed.</summary>
/// <param name="Heading">What it is.</param>
/// <param name="Unit">Its unit.</param>
/// <param name="Decimals">Decimals in a table.</param>
/// <param name="Runs">The points of each run, speed rising; empty for a run that does not know it.</param>
/// <param name="Kind">The compared quantity whose difference is told more sharply by pairing passes; null for none.</param>
/// <param name="KindFactor">From the unit of that quantity to <paramref name="Unit"/>.</param>
internal sealed record ComparedCurve(string Heading, string Unit, int Decimals, ImmutableArray<ImmutableArray<CurvePoint>> Runs, ComparedKind? Kind, double KindFactor)
{
    /// <summary>Speeds nearer than this are one, km/h: what six digits leave of one.</summary>
    private const double SameKmh = 0.01;

    /// <summary>The value of a run between its neighbours on a straight line; null outside its range.</summary>
    public Estimate? At(int run, double x)
    {
        ImmutableArray<CurvePoint> points = Runs[run];
        if (points.IsEmpty || x < points[0].X - SameKmh || x > points[^1].X + SameKmh)
        {
            return null;
        }

        int above = 0;
        while (above < points.Length - 1 && points[above].X < x)
        {
            above++;
        }

        (CurvePoint low, CurvePoint high) = (points[Math.Max(0, above - 1)], points[above]);
        double share = high.X > low.X ? Math.Clamp((x - low.X) / (high.X - low.X), 0, 1) : 0;
        return new(double.Lerp(low.Y.Value, high.Y.Value, share), double.Lerp(low.Y.Low95, high.Y.Low95, share), double.Lerp(low.Y.High95, high.Y.High95, share));
    }

    /// <summary>A run less the first, wherever both know the quantity.</summary>
    /// <remarks>
    /// The intervals are joined as those of independent runs. What all runs share (masses, ratios) cancels in a difference and is counted all the same,
    /// so the interval is too wide rather than too narrow; pairing passes at one speed gives the sharper answer.
    /// </remarks>
    public ImmutableArray<CurvePoint> LessFirst(int run)
    {
        SortedSet<double> places = [];
        foreach (CurvePoint point in Runs[0].Concat(Runs[run]))
        {
            if (!places.Any(place => Math.Abs(place - point.X) < SameKmh))
            {
                places.Add(point.X);
            }
        }

        var points = ImmutableArray.CreateBuilder<CurvePoint>();
        foreach (double x in places)
        {
            if (At(0, x) is { } first && At(run, x) is { } other)
            {
                double difference = other.Value - first.Value;
                points.Add(new(x, new(
                    difference,
                    difference - double.Hypot(other.Value - other.Low95, first.High95 - first.Value),
                    difference + double.Hypot(other.High95 - other.Value, first.Value - first.Low95))));
            }
        }

        return points.ToImmutable();
    }
}
