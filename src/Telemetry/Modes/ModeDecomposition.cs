using System.Collections.Immutable;
using System.Runtime.InteropServices;
using Telemetry.Car;
using Telemetry.WheelLoads;

namespace Telemetry.Modes;

/// <summary>Splits the four corners into heave, pitch, roll and warp, and puts them together again (equation E3).</summary>
public static class ModeDecomposition
{
    /// <summary>Load modes and, where all four dampers are measured, displacement modes. They are made from the corners when they are read.</summary>
    /// <param name="wheels">Wheel loads and travel.</param>
    public static ModeSet From(WheelLoadSet wheels)
    {
        ArgumentNullException.ThrowIfNull(wheels);
        CarGeometry geometry = wheels.Run.Car.Geometry;
        return new ModeSet
        {
            Load = Loads(wheels.LoadN, geometry),
            Displacement = wheels.WheelTravelM.Each().Any(corner => corner.Value is null) ? null : Displacements(wheels.WheelTravelM.Select((_, travel) => travel!), geometry),
        };
    }

    /// <summary>Load modes of four corner loads.</summary>
    /// <param name="loadN">Wheel loads, N; four channels of one length.</param>
    /// <param name="geometry">Tracks and the place of the sprung centre of gravity, for the moments.</param>
    public static LoadModes Loads(PerCorner<SampleSource> loadN, CarGeometry geometry)
    {
        ArgumentNullException.ThrowIfNull(loadN);
        ArgumentNullException.ThrowIfNull(geometry);
        double behindFront = geometry.SprungCentreBehindFrontAxleM.Value;
        return new LoadModes(
            From(loadN, new LoadHeave()),
            From(loadN, new LoadPitch()),
            From(loadN, new LoadRoll()),
            From(loadN, new LoadWarp()),
            From(loadN, new PitchMoment(behindFront, geometry.WheelbaseM.Value - behindFront)),
            From(loadN, new RollMoment(geometry.TrackM.Front / 2, geometry.TrackM.Rear / 2)));
    }

    /// <summary>The four corner loads that a set of modes came from: a quarter of the transpose.</summary>
    public static PerCorner<ImmutableArray<double>> CornerLoads(LoadModes modes)
    {
        ArgumentNullException.ThrowIfNull(modes);
        double[] fl = new double[modes.HeaveN.Length];
        double[] fr = new double[fl.Length];
        double[] rl = new double[fl.Length];
        double[] rr = new double[fl.Length];
        for (int i = 0; i < fl.Length; i++)
        {
            double front = modes.HeaveN[i] + modes.PitchN[i];
            double rear = modes.HeaveN[i] - modes.PitchN[i];
            double frontRoll = modes.RollN[i] - modes.WarpN[i];
            double rearRoll = modes.RollN[i] + modes.WarpN[i];
            fl[i] = (front - frontRoll) / 4;
            fr[i] = (front + frontRoll) / 4;
            rl[i] = (rear - rearRoll) / 4;
            rr[i] = (rear + rearRoll) / 4;
        }

        return new(Own(fl), Own(fr), Own(rl), Own(rr));
    }

    /// <summary>Displacement modes of four wheel travels.</summary>
    /// <param name="travelM">Wheel travel from static, m, bump positive; four channels of one length.</param>
    /// <param name="geometry">Tracks and wheelbase.</param>
    public static DisplacementModes Displacements(PerCorner<SampleSource> travelM, CarGeometry geometry)
    {
        ArgumentNullException.ThrowIfNull(travelM);
        ArgumentNullException.ThrowIfNull(geometry);
        return new DisplacementModes(
            From(travelM, new TravelHeave()),
            From(travelM, new TravelPitch(geometry.WheelbaseM.Value)),
            From(travelM, new TravelRollFront(geometry.TrackM.Front)),
            From(travelM, new TravelRollRear(geometry.TrackM.Rear)),
            From(travelM, new TravelWarp()));
    }

    private static OfFourCorners<TFormula> From<TFormula>(PerCorner<SampleSource> corners, TFormula formula)
        where TFormula : struct, ICornerFormula => new(corners, formula);

    private static ImmutableArray<double> Own(double[] values) => ImmutableCollectionsMarshal.AsImmutableArray(values);
}
