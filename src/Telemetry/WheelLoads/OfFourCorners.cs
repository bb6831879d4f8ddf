using Telemetry.Car;

namespace Telemetry.WheelLoads;

/// <summary>One number from the numbers of the four corners at one moment.</summary>
internal interface ICornerFormula
{
    double Of(double fl, double fr, double rl, double rr);
}

/// <summary>A channel that a formula makes from four others, sample by sample, each time it is read.</summary>
/// <typeparam name="TFormula">The formula; a struct, so that it is compiled into the loop.</typeparam>
internal sealed class OfFourCorners<TFormula>(PerCorner<SampleSource> corners, TFormula formula) : SampleSource(corners.FrontLeft.Length)
    where TFormula : struct, ICornerFormula
{
    public override double this[int index] => formula.Of(corners.FrontLeft[index], corners.FrontRight[index], corners.RearLeft[index], corners.RearRight[index]);

    internal override SampleSource Over(Func<SampleSource, SampleSource> part) => new OfFourCorners<TFormula>(corners.Select((_, corner) => part(corner)), formula);

    public override ReadOnlySpan<double> Read(int start, int count, Span<double> room)
    {
        Span<double> made = room[..count];
        int most = Math.Min(Together, count);
        Span<double> beside = stackalloc double[3 * most];
        for (int at = 0; at < count; at += Together)
        {
            Span<double> some = made[at..Math.Min(count, at + Together)];
            ReadOnlySpan<double> fl = corners.FrontLeft.Read(start + at, some.Length, some);
            ReadOnlySpan<double> fr = corners.FrontRight.Read(start + at, some.Length, beside[..most]);
            ReadOnlySpan<double> rl = corners.RearLeft.Read(start + at, some.Length, beside[most..(2 * most)]);
            ReadOnlySpan<double> rr = corners.RearRight.Read(start + at, some.Length, beside[(2 * most)..]);
            for (int i = 0; i < some.Length; i++)
            {
                some[i] = formula.Of(fl[i], fr[i], rl[i], rr[i]);
            }
        }

        return made;
    }
}
