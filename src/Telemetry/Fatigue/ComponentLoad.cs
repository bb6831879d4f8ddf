using System.Collections.Immutable;
using Telemetry.Car;
using Telemetry.WheelLoads;

namespace Telemetry.Fatigue;

/// <summary>The load on a part: a sum of factor times pushrod load, wheel load or damper travel, and how far it can be trusted.</summary>
internal sealed record ComponentLoad
{
    /// <summary>N, compression of the part positive, one value a sample of the run's clock; NaN where a term has none.</summary>
    public required SampleSource LoadN { get; init; }

    /// <summary>Why there is no load at all, or null.</summary>
    public required string? MissingBecause { get; init; }

    /// <summary>Why the load has no trusted zero, so that only its ranges hold, or null.</summary>
    public required string? NoZeroBecause { get; init; }

    /// <summary>Standard uncertainty of the load's zero, N: the terms' zeros are independent, so their squares add.</summary>
    public required double ZeroUncertaintyN { get; init; }

    /// <summary>Standard uncertainty of the load's gain, share: the largest of the terms, which errs to more.</summary>
    public required double GainUncertainty { get; init; }

    /// <summary>Standard uncertainty of a load of that size, N: zero and gain are independent. NaN for NaN.</summary>
    public double UncertaintyN(double loadN) => double.Hypot(ZeroUncertaintyN, GainUncertainty * loadN);

    /// <summary>Forms the load of a part.</summary>
    public static ComponentLoad Of(ImmutableArray<LoadTerm> terms, WheelLoadSet wheels)
    {
        string? missing = null;
        string? noZero = wheels.Pushrods.WithheldBecause;
        double zeroSquared = 0;
        double gain = 0;
        foreach (LoadTerm term in terms)
        {
            if (term.Missing(wheels) is { } lacking)
            {
                missing ??= lacking;
                continue;
            }

            if (!term.IsMeasuredLoad)
            {
                // A travel and a constant are taken as exact: the car file states no uncertainty of them.
                continue;
            }

            Zero.CornerZero zero = wheels.Pushrods.Zeros[term.Corner];
            if (zero.Source == Zero.ZeroSource.None)
            {
                noZero ??= $"The load cell {term.Corner.Code()} has no zero.";
            }

            RatioCurve ratio = wheels.Run.Car.Suspension[term.Corner.Axle()].InstallationRatio;
            bool isWheel = term.Source == LoadSource.WheelLoad;
            double scale = Math.Abs(term.Factor) * (isWheel ? ratio.Points.Max(point => point.Ratio) : 1) * (term.Ratio?.Points.Max(point => point.Ratio) ?? 1);
            double zeroN = scale * zero.StandardUncertaintyN;
            zeroSquared += double.IsFinite(zeroN) ? zeroN * zeroN : 0;
            double cellGain = wheels.Pushrods.GainUncertainty(term.Corner);
            cellGain = double.Hypot(cellGain, term.Ratio?.RelativeUncertainty ?? 0);
            gain = Math.Max(gain, isWheel ? double.Hypot(cellGain, ratio.RelativeUncertainty) : cellGain);
        }

        return new()
        {
            LoadN = missing is null ? LoadTerms.Of(terms, wheels) : SampleSource.None,
            MissingBecause = missing,
            NoZeroBecause = noZero,
            ZeroUncertaintyN = Math.Sqrt(zeroSquared),
            GainUncertainty = gain,
        };
    }
}
