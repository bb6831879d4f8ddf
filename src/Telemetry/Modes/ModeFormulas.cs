using Telemetry.WheelLoads;

namespace Telemetry.Modes;

// Equation E3, one formula a mode; the signs are those of LoadModes and DisplacementModes.

internal readonly record struct LoadHeave : ICornerFormula
{
    public double Of(double fl, double fr, double rl, double rr) => (fl + fr) + (rl + rr);
}

internal readonly record struct LoadPitch : ICornerFormula
{
    public double Of(double fl, double fr, double rl, double rr) => (fl + fr) - (rl + rr);
}

internal readonly record struct LoadRoll : ICornerFormula
{
    public double Of(double fl, double fr, double rl, double rr) => (fr - fl) + (rr - rl);
}

internal readonly record struct LoadWarp : ICornerFormula
{
    public double Of(double fl, double fr, double rl, double rr) => (rr - rl) - (fr - fl);
}

internal readonly record struct PitchMoment(double BehindFrontM, double BeforeRearM) : ICornerFormula
{
    public double Of(double fl, double fr, double rl, double rr) => (BehindFrontM * (fl + fr)) - (BeforeRearM * (rl + rr));
}

internal readonly record struct RollMoment(double HalfFrontM, double HalfRearM) : ICornerFormula
{
    public double Of(double fl, double fr, double rl, double rr) => (HalfFrontM * (fr - fl)) + (HalfRearM * (rr - rl));
}

internal readonly record struct TravelHeave : ICornerFormula
{
    public double Of(double fl, double fr, double rl, double rr) => (((fl + fr) / 2) + ((rl + rr) / 2)) / 2;
}

internal readonly record struct TravelPitch(double WheelbaseM) : ICornerFormula
{
    public double Of(double fl, double fr, double rl, double rr) => (((fl + fr) / 2) - ((rl + rr) / 2)) / WheelbaseM;
}

internal readonly record struct TravelRollFront(double TrackM) : ICornerFormula
{
    public double Of(double fl, double fr, double rl, double rr) => (fr - fl) / TrackM;
}

internal readonly record struct TravelRollRear(double TrackM) : ICornerFormula
{
    public double Of(double fl, double fr, double rl, double rr) => (rr - rl) / TrackM;
}

internal readonly record struct TravelWarp : ICornerFormula
{
    public double Of(double fl, double fr, double rl, double rr) => (fl + rr - fr - rl) / 4;
}
