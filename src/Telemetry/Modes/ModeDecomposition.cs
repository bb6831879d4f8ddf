using System.Collections.Immutable;
using System.Runtime.InteropServices;
using Telemetry.Car;
using Telemetry.WheelLoads;

namespace Telemetry.Modes;

/// <summary>Splits the four corners into heave, pitch, roll and warp, and puts them together again (equation E3).</summary>
public static class ModeDecomposition
{
    /// <summary>Load modes and, where all four dampers are measured, displacement modes.</summary>
    /// <param name="wheels">Wheel loads and travel.</param>
    public static ModeSet From(WheelLoadSet wheels)
    {
        ArgumentNullException.ThrowIfNull(wheels);
        CarGeometry geometry = wheels.Run.Car.Geometry;
        LoadModes? load = null;
        DisplacementModes? displacement = null;
        Parallel.Invoke(
            () => load = Loads(wheels.LoadN, geometry),
            () => displacement = wheels.WheelTravelM.Each().Any(corner => corner.Value.IsDefault) ? null : Displacements(wheels.WheelTravelM, geometry));
        return new ModeSet { Load = load!, Displacement = displacement };
    }

    /// <summary>Load modes of four corner loads.</summary>
    /// <param name="loadN">Wheel loads, N; four arrays of one length.</param>
    /// <param name="geometry">Tracks and the place of the sprung centre of gravity, for the moments.</param>
    public static LoadModes Loads(PerCorner<ImmutableArray<double>> loadN, CarGeometry geometry)
    {
        ArgumentNullException.ThrowIfNull(loadN);
        ArgumentNullException.ThrowIfNull(geometry);
        ReadOnlySpan<double> fl = loadN.FrontLeft.AsSpan();
        ReadOnlySpan<double> fr = loadN.FrontRight.AsSpan()[..fl.Length];
        ReadOnlySpan<double> rl = loadN.RearLeft.AsSpan()[..fl.Length];
        ReadOnlySpan<double> rr = loadN.RearRight.AsSpan()[..fl.Length];
        double[] heave = new double[fl.Length];
        double[] pitch = new double[fl.Length];
        double[] roll = new double[fl.Length];
        double[] warp = new double[fl.Length];
        double[] pitchMoment = new double[fl.Length];
        double[] rollMoment = new double[fl.Length];
        double behindFront = geometry.SprungCentreBehindFrontAxleM.Value;
        double beforeRear = geometry.WheelbaseM.Value - behindFront;
        double halfFront = geometry.TrackM.Front / 2;
        double halfRear = geometry.TrackM.Rear / 2;
        for (int i = 0; i < heave.Length; i++)
        {
            double front = fl[i] + fr[i];
            double rear = rl[i] + rr[i];
            double frontRoll = fr[i] - fl[i];
            double rearRoll = rr[i] - rl[i];
            heave[i] = front + rear;
            pitch[i] = front - rear;
            roll[i] = frontRoll + rearRoll;
            warp[i] = rearRoll - frontRoll;
            pitchMoment[i] = (behindFront * front) - (beforeRear * rear);
            rollMoment[i] = (halfFront * frontRoll) + (halfRear * rearRoll);
        }

        return new LoadModes(Own(heave), Own(pitch), Own(roll), Own(warp), Own(pitchMoment), Own(rollMoment));
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
    /// <param name="travelM">Wheel travel from static, m, bump positive; four arrays of one length.</param>
    /// <param name="geometry">Tracks and wheelbase.</param>
    public static DisplacementModes Displacements(PerCorner<ImmutableArray<double>> travelM, CarGeometry geometry)
    {
        ArgumentNullException.ThrowIfNull(travelM);
        ArgumentNullException.ThrowIfNull(geometry);
        ReadOnlySpan<double> fl = travelM.FrontLeft.AsSpan();
        ReadOnlySpan<double> fr = travelM.FrontRight.AsSpan()[..fl.Length];
        ReadOnlySpan<double> rl = travelM.RearLeft.AsSpan()[..fl.Length];
        ReadOnlySpan<double> rr = travelM.RearRight.AsSpan()[..fl.Length];
        double[] heave = new double[fl.Length];
        double[] pitch = new double[fl.Length];
        double[] rollFront = new double[fl.Length];
        double[] rollRear = new double[fl.Length];
        double[] warp = new double[fl.Length];
        double wheelbase = geometry.WheelbaseM.Value;
        for (int i = 0; i < heave.Length; i++)
        {
            double front = (fl[i] + fr[i]) / 2;
            double rear = (rl[i] + rr[i]) / 2;
            heave[i] = (front + rear) / 2;
            pitch[i] = (front - rear) / wheelbase;
            rollFront[i] = (fr[i] - fl[i]) / geometry.TrackM.Front;
            rollRear[i] = (rr[i] - rl[i]) / geometry.TrackM.Rear;
            warp[i] = (fl[i] + rr[i] - fr[i] - rl[i]) / 4;
        }

        return new DisplacementModes(Own(heave), Own(pitch), Own(rollFront), Own(rollRear), Own(warp));
    }

    private static ImmutableArray<double> Own(double[] values) => ImmutableCollectionsMarshal.AsImmutableArray(values);
}
