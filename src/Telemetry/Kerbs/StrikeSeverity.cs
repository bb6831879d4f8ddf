using MathNet.Numerics.Distributions;
using Telemetry.Car;
using Telemetry.WheelLoads;

namespace Telemetry.Kerbs;

/// <summary>How a strike stands against what the parts are allowed, as read and with what the reading may be wrong by.</summary>
/// <param name="WorstComponent">The part nearest to its limit, or null.</param>
/// <param name="Margin">Its margin of safety as read.</param>
/// <param name="LimitProbability">Probability that the true peak was past that limit.</param>
/// <param name="InspectionComponent">The part nearest to its inspection threshold, or null.</param>
/// <param name="InspectionProbability">Probability that the true peak was past that threshold.</param>
internal sealed record StrikeSeverity(string? WorstComponent, double Margin, double LimitProbability, string? InspectionComponent, double InspectionProbability)
{
    public static StrikeSeverity None { get; } = new(null, double.NaN, double.NaN, null, double.NaN);

    /// <summary>Looks at every part whose load uses the corner, on the part's own load over the strike and its rebound.</summary>
    /// <param name="corner">The wheel.</param>
    /// <param name="wheels">The loads.</param>
    /// <param name="from">First sample of the strike.</param>
    /// <param name="until">One past the last of its rebound.</param>
    /// <param name="peakN">Peak as read, N.</param>
    /// <param name="truePeakN">Best estimate of the true peak, N.</param>
    /// <param name="doubtN">Its standard uncertainty, N.</param>
    /// <param name="options">Choices.</param>
    public static StrikeSeverity Of(Corner corner, WheelLoadSet wheels, int from, int until, double peakN, double truePeakN, double doubtN, KerbOptions options)
    {
        StrikeSeverity severity = None;
        double[] load = new double[until - from];
        double nearest = double.NegativeInfinity;
        foreach (ComponentDefinition component in wheels.Run.Car.Components)
        {
            if (component.Load.All(term => term.Corner != corner) || component.Load.Any(term => options.NotJudgedBecause[term.Corner] is not null))
            {
                continue;
            }

            LoadTerms.Sum(component.Load, wheels, from, load);
            double push = 0;
            double pull = 0;
            foreach (double value in load)
            {
                push = value > push ? value : push;
                pull = -value > pull ? -value : pull;
            }

            double margin = LimitMargin.Smallest(component, push, pull);
            if (!double.IsNaN(margin) && !(margin >= severity.Margin))
            {
                // As large a share of the part's peak can be wrong as of the pushrod's: exact for a part that sees this pushrod, and near enough where others add to it.
                double allowed = (1 + margin) * peakN;
                severity = severity with { WorstComponent = component.Id, Margin = margin, LimitProbability = Past(truePeakN, allowed, doubtN) };
            }

            if (component.InspectionThresholdN is { } threshold && Math.Max(push, pull) is > 0 and var largest)
            {
                double share = component.LimitFactor * largest / threshold;
                if (share > nearest)
                {
                    nearest = share;
                    severity = severity with { InspectionComponent = component.Id, InspectionProbability = Past(truePeakN, peakN / share, doubtN) };
                }
            }
        }

        return severity;
    }

    /// <summary>Probability that a load of that estimate is above a level; 0, a half or 1 where nothing is uncertain.</summary>
    private static double Past(double estimateN, double levelN, double doubtN) => doubtN > 0
        ? Normal.CDF(0, 1, (estimateN - levelN) / doubtN)
        : estimateN > levelN ? 1 : estimateN == levelN ? 0.5 : 0;
}
