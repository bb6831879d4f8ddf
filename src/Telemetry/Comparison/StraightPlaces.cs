using System.Collections.Immutable;

namespace Telemetry.Comparison;

/// <summary>Which passes of all runs drove the same straight, and where they were heading.</summary>
/// <param name="Place">For each run and pass the number of its straight, from 0.</param>
/// <param name="HeadingRad">For each run and pass the heading, rad, from one direction for all runs; NaN when unknown.</param>
/// <param name="Count">Number of straights.</param>
/// <param name="Kind">What they were told by, in words.</param>
internal sealed record StraightPlaces(ImmutableArray<ImmutableArray<int>> Place, ImmutableArray<ImmutableArray<double>> HeadingRad, int Count, string Kind)
{
    /// <summary>Starts this near to each other belong to one straight, m: the first quasi-steady window comes earlier or later by a few window lengths.</summary>
    private const double SameStartM = 200;

    /// <summary>Headings this near to each other may belong to one straight, rad: 15 degrees.</summary>
    private const double SameHeadingRad = 15 * Math.PI / 180;

    /// <summary>Fewest passes by whose place the heading of one run is turned to that of another.</summary>
    private const int FewestPairs = 3;

    public bool KnowsHeadings => HeadingRad.Any(run => run.Any(double.IsFinite));

    public static StraightPlaces Of(IReadOnlyList<RunEvidence> runs)
    {
        bool distances = runs.All(run => run.Passes.All(pass => double.IsFinite(pass.StartDistanceM)));
        ImmutableArray<ImmutableArray<double>> headings = Align(runs, distances);
        bool known = headings.All(run => run.All(double.IsFinite));
        List<Centre> centres = [];
        var places = ImmutableArray.CreateBuilder<ImmutableArray<int>>();
        for (int r = 0; r < runs.Count; r++)
        {
            var of = ImmutableArray.CreateBuilder<int>();
            for (int i = 0; i < runs[r].Passes.Length; i++)
            {
                double distance = distances ? runs[r].Passes[i].StartDistanceM : 0;
                double heading = known ? headings[r][i] : 0;
                int at = centres.FindIndex(c => Math.Abs(c.DistanceM - distance) <= SameStartM && Math.Abs(Wrap(c.HeadingRad - heading)) <= SameHeadingRad);
                if (at < 0)
                {
                    at = centres.Count;
                    centres.Add(new(distance, heading, 0));
                }

                centres[at] = centres[at].With(distance, heading);
                of.Add(at);
            }

            places.Add(of.ToImmutable());
        }

        string kind = (distances, known) switch
        {
            (true, true) => "lap distance and heading",
            (true, false) => "lap distance",
            (false, true) => "heading",
            _ => "",
        };
        return new(places.ToImmutable(), headings, centres.Count, kind);
    }

    /// <summary>Headings of all runs from one zero: as they are where all count from north, else turned until the same places agree with the first run; NaN where that cannot be.</summary>
    private static ImmutableArray<ImmutableArray<double>> Align(IReadOnlyList<RunEvidence> runs, bool distances)
    {
        bool north = runs.All(run => run.HeadingIsTrue);
        return [.. runs.Select((run, r) =>
        {
            double turn = north || r == 0 ? 0 : Turn(runs[0], run, distances);
            return run.Passes.Select(pass => Wrap(pass.HeadingRad + turn)).ToImmutableArray();
        })];
    }

    private static double Turn(RunEvidence first, RunEvidence other, bool distances)
    {
        if (!distances)
        {
            return double.NaN;
        }

        double sine = 0;
        double cosine = 0;
        int pairs = 0;
        foreach (PassEvidence pass in other.Passes)
        {
            foreach (PassEvidence like in first.Passes.Where(p => Math.Abs(p.StartDistanceM - pass.StartDistanceM) <= SameStartM / 2))
            {
                sine += Math.Sin(like.HeadingRad - pass.HeadingRad);
                cosine += Math.Cos(like.HeadingRad - pass.HeadingRad);
                pairs++;
            }
        }

        return pairs >= FewestPairs ? Math.Atan2(sine, cosine) : double.NaN;
    }

    private static double Wrap(double angle) => Math.IEEERemainder(angle, 2 * Math.PI);

    private readonly record struct Centre(double DistanceM, double HeadingRad, int Count)
    {
        public Centre With(double distance, double heading) => new(
            DistanceM + ((distance - DistanceM) / (Count + 1)),
            HeadingRad + (Wrap(heading - HeadingRad) / (Count + 1)),
            Count + 1);
    }
}
