using System.Collections.Immutable;
using MathNet.Numerics.Distributions;
using Telemetry.Car;

namespace Telemetry.Zero;

/// <summary>How much a cell's zero differs from one run to the next, from the zero file.</summary>
/// <param name="StandardUncertaintyN">Standard deviation of the change from a run to its neighbour, N, widened for the few runs that it rests on.</param>
/// <param name="DegreesOfFreedom">What it rests on; 0 when it is only assumed.</param>
/// <param name="DeviationN">The same without the widening; NaN when it is only assumed.</param>
internal readonly record struct BetweenRuns(double StandardUncertaintyN, double DegreesOfFreedom, double DeviationN)
{
    /// <summary>From so many degrees of freedom on the runs speak for themselves; below, the assumed scatter stands in where it is larger.</summary>
    private const double Enough = 4;

    /// <summary>Degrees of freedom that the assumed scatter is worth.</summary>
    private const double AssumedDegrees = 4;

    /// <summary>A cell whose changes are larger than the others' by chance with less than this probability is taken alone.</summary>
    private const double WorseThanOthers = 0.01;

    /// <summary>The scatter for one cell.</summary>
    /// <remarks>
    /// The mean square of successive differences is the variance of the very error that borrowing from a neighbour makes, whether zeros scatter about a mean or wander
    /// (von Neumann, Kent, Bellinson and Hart 1941, from memory; for normal scatter about a mean it has 2 (n-1)^2 / (3n-4) degrees of freedom for n runs). The four cells are
    /// of one make and are pooled, unless this one is worse than the rest (F test).
    /// </remarks>
    public static BetweenRuns Of(CarDefinition car, Corner corner, ZeroOptions options)
    {
        double assumedN = options.BetweenRunsShareOfRange * RangeN(car, corner, options);
        (double Mean, double Degrees) own = Successive(car, corner, options);
        double squares = own.Degrees * own.Mean;
        double degrees = own.Degrees;
        double othersSquares = 0;
        double othersDegrees = 0;
        foreach (Corner other in Corners.All.Where(c => c != corner))
        {
            (double mean, double count) = Successive(car, other, options);
            othersSquares += count * mean;
            othersDegrees += count;
        }

        bool isWorse = own.Degrees > 0 && othersDegrees > 0 && othersSquares > 0
            && own.Mean / (othersSquares / othersDegrees) > FisherSnedecor.InvCDF(own.Degrees, othersDegrees, 1 - WorseThanOthers);
        if (!isWorse)
        {
            squares += othersSquares;
            degrees += othersDegrees;
        }

        double deviation = degrees > 0 ? Math.Sqrt(squares / degrees) : 0;
        double seen = degrees > 0 ? deviation * Widening.Of(degrees) : 0;
        return degrees >= Enough
            ? new(seen, degrees, deviation)
            : new(Math.Max(seen, assumedN * Widening.Of(AssumedDegrees)), 0, double.NaN);
    }

    /// <summary>Range of a cell from end to end, N.</summary>
    public static double RangeN(CarDefinition car, Corner corner, ZeroOptions options) =>
        car.Mapping(ChannelRoles.PushrodLoad(corner))?.Range is (double low, double high) ? high - low : options.UnknownRangeN;

    /// <summary>Mean square of the changes from the end of a run to the start of the next, and its degrees of freedom.</summary>
    private static (double Mean, double Degrees) Successive(CarDefinition car, Corner corner, ZeroOptions options)
    {
        ImmutableArray<(ZeroRun Run, CellZero Zero)> runs = options.History.Of(CellZero.KeyOf(car, corner), options.LogHash);
        double squares = 0;
        int count = runs.Length - 1;
        for (int i = 1; i < runs.Length; i++)
        {
            double change = (runs[i].Zero.StartN / runs[i].Zero.Gain) - (runs[i - 1].Zero.EndN / runs[i - 1].Zero.Gain);
            squares += change * change;
        }

        return count < 1 ? (0, 0) : (squares / count, 2.0 * count * count / ((3 * runs.Length) - 4));
    }
}
