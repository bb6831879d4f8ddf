using System.Collections.Immutable;
using Telemetry.Car;

namespace Telemetry.WheelLoads;

/// <summary>One number from the numbers of the four corners at one moment.</summary>
internal interface ICornerFormula
{
    double Of(double fl, double fr, double rl, double rr);
}

/// <summary>A channel that a formula makes from four others, sample by sample, each time it is read.</summary>
/// <typeparam name="TFormula">The formula; a struct, so that it is compiled into the loop.</typeparam>
internal sealed class OfFourCorners<TFormula>(PerCorner<ImmutableArray<double>> corners, TFormula formula) : SampleSource
    where TFormula : struct, ICornerFormula
{
    public override int Length => corners.FrontLeft.Length;

    public override ReadOnlySpan<double> Read(int start, int count, Span<double> room)
    {
        Span<double> made = room[..count];
        ReadOnlySpan<double> fl = corners.FrontLeft.AsSpan().Slice(start, count);
        ReadOnlySpan<double> fr = corners.FrontRight.AsSpan().Slice(start, count);
        ReadOnlySpan<double> rl = corners.RearLeft.AsSpan().Slice(start, count);
        ReadOnlySpan<double> rr = corners.RearRight.AsSpan().Slice(start, count);
        for (int i = 0; i < made.Length; i++)
        {
            made[i] = formula.Of(fl[i], fr[i], rl[i], rr[i]);
        }

        return made;
    }
}
