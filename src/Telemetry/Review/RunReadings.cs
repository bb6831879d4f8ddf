using System.Collections.Immutable;
using Telemetry.Car;
using Telemetry.Fatigue;
using Telemetry.WheelLoads;

namespace Telemetry.Review;

/// <summary>The numbers of a run that are worth keeping for each corner and part.</summary>
/// <remarks>
/// <c>load_per_travel</c>, N/m: slope of the pushrod load over the corner's own damper travel, the axle's other travel held: least squares on means over 0.2 s of the
/// running car. It is springs, bar and third element as the run used them; a joint that yields, a cracked rocker or a bar that slips changes it. Its standard
/// uncertainty is the jackknife's over ten equal parts of the run, so that what the run leaves out of the straight line (a rubber, a stop) is in it.
/// <c>road_scatter</c>, N: median over blocks of the load's standard deviation within 0.2 s, by the same jackknife.
/// </remarks>
public static class RunReadings
{
    /// <summary>Name of the slope of load over travel.</summary>
    public const string LoadPerTravel = "load_per_travel";

    /// <summary>Name of the load's scatter on the road.</summary>
    public const string RoadScatter = "road_scatter";

    /// <summary>Parts of the run that the jackknife leaves out in turn.</summary>
    internal const int Parts = 10;

    /// <summary>Fewest blocks for a slope: half a minute.</summary>
    private const int FewestBlocks = 150;

    /// <summary>Readings of a run: of each corner, then of each part. What the log does not give is left out.</summary>
    /// <param name="wheels">Loads and travels.</param>
    /// <param name="fatigue">Counted parts.</param>
    public static ImmutableArray<RunReading> From(WheelLoadSet wheels, FatigueResult fatigue)
    {
        ArgumentNullException.ThrowIfNull(fatigue);
        return [.. OfCorners(wheels), .. OfParts(fatigue)];
    }

    /// <summary>The readings of the corners.</summary>
    internal static ImmutableArray<RunReading> OfCorners(WheelLoadSet wheels)
    {
        ArgumentNullException.ThrowIfNull(wheels);
        CornerBlocks blocks = CornerBlocks.Of(wheels);
        List<RunReading> readings = [];
        foreach (Corner corner in Corners.All)
        {
            int c = (int)corner;
            if (wheels.Pushrods.DamperTravelM[corner] is { Length: > 0 } && Known(blocks, c, needsTravel: true) >= FewestBlocks)
            {
                (double slope, double doubt) = Jackknife(part => Slope(blocks, c, part));
                Add(readings, LoadPerTravel, corner.Code(), slope, doubt, "N/m");
            }

            if (Known(blocks, c, needsTravel: false) >= FewestBlocks)
            {
                (double scatter, double doubt) = Jackknife(part => Scatter(blocks, c, part));
                Add(readings, RoadScatter, corner.Code(), scatter, doubt, "N");
            }

            Zero.CornerZero zero = wheels.Pushrods.Zeros[corner];
            if (zero.Source != Zero.ZeroSource.None)
            {
                Add(readings, "zero", corner.Code(), zero.EndN, zero.StandardUncertaintyN, "N");
            }
        }

        return [.. readings];
    }

    internal static IEnumerable<RunReading> OfParts(FatigueResult fatigue)
    {
        List<RunReading> readings = [];
        foreach (ComponentResult part in fatigue.Components)
        {
            Add(readings, "peak_compression", part.Component.Id, part.PeakCompressionN, part.PeakCompressionUncertaintyN, "N");
            Add(readings, "peak_tension", part.Component.Id, part.PeakTensionN, part.PeakTensionUncertaintyN, "N");
        }

        return readings;
    }

    private static void Add(List<RunReading> readings, string name, string subject, double value, double doubt, string unit)
    {
        if (double.IsFinite(value))
        {
            readings.Add(new(name, subject, value, doubt, unit));
        }
    }

    private static int Known(CornerBlocks blocks, int corner, bool needsTravel)
    {
        int known = 0;
        for (int b = 0; b < blocks.Count; b++)
        {
            known += double.IsFinite(blocks.LoadN[corner][b]) && (!needsTravel || (double.IsFinite(blocks.TravelM[corner][b]) && double.IsFinite(blocks.TravelM[corner ^ 1][b]))) ? 1 : 0;
        }

        return known;
    }

    /// <summary>An estimate from the whole run (part -1) and its standard uncertainty from leaving out each tenth: B. Efron, The Jackknife, the Bootstrap and Other Resampling Plans (1982), chapter 3 (from memory).</summary>
    internal static (double Value, double Uncertainty) Jackknife(Func<int, double> without)
    {
        double[] left = new double[Parts];
        for (int part = 0; part < Parts; part++)
        {
            left[part] = without(part);
        }

        double mean = left.Average();
        double squares = left.Sum(value => (value - mean) * (value - mean));
        return (without(-1), Math.Sqrt((Parts - 1) / (double)Parts * squares));
    }

    private static bool IsIn(int block, int count, int part) => part >= 0 && (long)block * Parts / count == part;

    /// <summary>Slope of the load over the own travel with the other travel held, N/m; NaN when the travels do not move apart.</summary>
    private static double Slope(CornerBlocks blocks, int corner, int without)
    {
        double[] load = blocks.LoadN[corner];
        double[] own = blocks.TravelM[corner];
        double[] other = blocks.TravelM[corner ^ 1];
        double n = 0, sy = 0, sx = 0, sz = 0;
        for (int b = 0; b < blocks.Count; b++)
        {
            if (!IsIn(b, blocks.Count, without) && double.IsFinite(load[b]) && double.IsFinite(own[b]) && double.IsFinite(other[b]))
            {
                n++;
                sy += load[b];
                sx += own[b];
                sz += other[b];
            }
        }

        double xx = 0, xz = 0, zz = 0, xy = 0, zy = 0;
        for (int b = 0; b < blocks.Count; b++)
        {
            if (!IsIn(b, blocks.Count, without) && double.IsFinite(load[b]) && double.IsFinite(own[b]) && double.IsFinite(other[b]))
            {
                double x = own[b] - (sx / n), z = other[b] - (sz / n), y = load[b] - (sy / n);
                xx += x * x;
                xz += x * z;
                zz += z * z;
                xy += x * y;
                zy += z * y;
            }
        }

        double determinant = (xx * zz) - (xz * xz);
        return determinant > 1e-6 * xx * zz ? ((xy * zz) - (zy * xz)) / determinant : double.NaN;
    }

    private static double Scatter(CornerBlocks blocks, int corner, int without)
    {
        List<double> known = new(blocks.Count);
        for (int b = 0; b < blocks.Count; b++)
        {
            if (!IsIn(b, blocks.Count, without) && double.IsFinite(blocks.ScatterN[corner][b]))
            {
                known.Add(blocks.ScatterN[corner][b]);
            }
        }

        return OrderStatistics.Median(System.Runtime.InteropServices.CollectionsMarshal.AsSpan(known));
    }
}
