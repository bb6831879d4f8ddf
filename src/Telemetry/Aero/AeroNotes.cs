using System.Collections.Immutable;
using Telemetry.Car;
using Telemetry.Runs;

namespace Telemetry.Aero;

/// <summary>What was assumed and what a reader should know, as sentences.</summary>
internal static class AeroNotes
{
    /// <summary>A pass whose head wind stands this many standard deviations off is named.</summary>
    private const double OddPass = 2.5;

    public static ImmutableArray<string> Of(
        Run run,
        AeroFit fit,
        ModelWindow[] rows,
        Standstills still,
        (double FrontN, double RearN) remainder,
        BalanceTerms terms,
        string heightSource,
        ImmutableArray<StraightPass> passes,
        double degreesOfFreedom,
        bool exceedsModel)
    {
        List<string> notes =
        [
            "The aero load is what the sprung mass sees at steady speed in still air; it includes the moment of drag, which takes load from the front and gives it to the rear.",
            FormattableString.Invariant($"The interval rests on {passes.Length} straight passes ({degreesOfFreedom:0.0} degrees of freedom) and on the systematic parts listed."),
        ];
        notes.Add(still.Count > 0
            ? FormattableString.Invariant($"At standstill the balance left {remainder.FrontN:+0;-0;0} N front and {remainder.RearN:+0;-0;0} N rear over, from mass, corner weights and accelerometer offsets; it was taken off.")
            : "There was no standstill on the ground to take the remainder of the balance from; mass, centre of gravity and accelerometer offsets count in full.");
        notes.Add(heightSource.Length > 0
            ? $"The lift area was let vary with both ride heights, taken from {heightSource}; the answer is for the heights that the car takes at steady speed."
            : "No ride height is known: the lift area was let vary with dynamic pressure and with longitudinal acceleration.");
        if (exceedsModel)
        {
            notes.Add("The passes differ by more than head winds explain (1 % test): friction that holds for a straight, another car, a changing setup. The interval is then the cluster-robust one, which asks for no such picture.");
        }

        ChannelRole flow = run.Has(ChannelRole.AirSpeed) ? ChannelRole.AirSpeed : ChannelRole.Speed;
        if (!(run.Car.Mapping(flow)?.GainUncertainty > 0))
        {
            notes.Add("The speed is taken as true: the car file gives its channel no gain_uncertainty. Half a percent of speed would be one percent of lift area.");
        }

        if (!run.Has(ChannelRole.AccelerationX))
        {
            notes.Add("Longitudinal acceleration was taken from the speed, so gradients are not in it.");
        }

        if (!run.Has(ChannelRole.AccelerationZ))
        {
            notes.Add("No vertical acceleration is logged: crests and compressions count as aero load.");
        }

        if (!run.Has(ChannelRole.Brake))
        {
            notes.Add("No brake channel is logged: braking was told from deceleration.");
        }

        if (!run.Has(ChannelRole.FuelMass) && run.Car.Masses.FuelPerLapKg is null)
        {
            notes.Add("Neither fuel mass nor fuel per lap is known: the mass at the start was used throughout.");
        }

        if (terms.LinkageShare.Rear > 0 || terms.LinkageShare.Front > 0)
        {
            notes.Add("The links carry a share of the driving force. The share of it that holds against drag never reaches the pushrods and is not in the aero load.");
        }

        AddOddPasses(notes, fit, passes);
        AddFreeLine(notes, fit, rows);
        return [.. notes];
    }

    private static void AddOddPasses(List<string> notes, AeroFit fit, ImmutableArray<StraightPass> passes)
    {
        double usual = RobustLosses.Scale(fit.PassWindMps);
        for (int g = 0; g < passes.Length && usual > 0; g++)
        {
            if (Math.Abs(fit.PassWindMps[g]) > OddPass * usual && Math.Abs(fit.PassWindMps[g]) > 1)
            {
                notes.Add(FormattableString.Invariant($"Pass {passes[g].Number} on lap {passes[g].Lap} reads as if it had {Math.Abs(fit.PassWindMps[g]):0.0} m/s more {(fit.PassWindMps[g] > 0 ? "head" : "tail")} wind than the others: a gust, or another car close by."));
            }
        }
    }

    /// <summary>The straight line with a free intercept, as a check that is none: its intercept also takes up a lift area that changes with speed.</summary>
    private static void AddFreeLine(List<string> notes, AeroFit fit, ModelWindow[] rows)
    {
        double[] design = [.. rows.SelectMany(r => new[] { 1, fit.Model.DensityKgM3 * r.SpeedSquared / 2 })];
        RobustFit? front = RobustRegression.Fit(design, [.. rows.Select(r => r.FrontN)], 2, RobustLoss.Huber, 1e-6);
        RobustFit? rear = RobustRegression.Fit(design, [.. rows.Select(r => r.RearN)], 2, RobustLoss.Huber, 1e-6);
        if (front is not null && rear is not null)
        {
            notes.Add(FormattableString.Invariant($"For comparison only: a straight line of load against dynamic pressure would start at {front.Coefficients[0]:+0;-0;0} N front and {rear.Coefficients[0]:+0;-0;0} N rear; a lift area that changes with ride height does that too, so it is no check of the zero."));
        }
    }
}
