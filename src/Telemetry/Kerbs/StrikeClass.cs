namespace Telemetry.Kerbs;

/// <summary>What made a load rise steeply.</summary>
public enum StrikeClass
{
    /// <summary>One wheel, or both wheels of one side a wheelbase apart, over something at the edge of the road.</summary>
    KerbStrike,

    /// <summary>Both wheels of an axle at once, over something across the road.</summary>
    Bump,

    /// <summary>The floor on the road: the body is stopped and all corners jolt at once, without a wheel having been lifted first.</summary>
    Bottoming,

    /// <summary>The signs do not decide.</summary>
    NotTold,
}

/// <summary>Why a rise was taken for what it is: statistics of the wheels' motion, and what follows from them.</summary>
/// <param name="Class">What it is taken for.</param>
/// <param name="Probability">Probability that the class is right, 0 to 1, from the statistics' scatter on this run's quiet road; a model's figure, not a frequency.</param>
/// <param name="AcrossShare">Motion of the axle's other wheel at the same time, as a share of this one's: near 0 on a kerb, near 1 on a bump across the road. NaN when it cannot be told.</param>
/// <param name="AcrossUncertainty">Standard uncertainty of that share from the quiet road.</param>
/// <param name="AxlesShare">Motion of the other axle's wheel of the same side at the same time, as a share; near 0 for anything that lies on the road. NaN when it cannot be told.</param>
/// <param name="IsPaired">True when the same side's other axle met it a wheelbase earlier or later.</param>
/// <param name="Reason">In words.</param>
public sealed record StrikeTelling(
    StrikeClass Class,
    double Probability,
    double AcrossShare,
    double AcrossUncertainty,
    double AxlesShare,
    bool IsPaired,
    string Reason)
{
    /// <summary>Likeness of the two wheels' motion, -1 to 1 (their correlation about 0): a bump moves both in the same way even where one of them moves less. NaN when it cannot be told.</summary>
    public double Likeness { get; init; } = double.NaN;

    /// <summary>Before anything is known.</summary>
    internal static StrikeTelling None { get; } = new(StrikeClass.KerbStrike, double.NaN, double.NaN, double.NaN, double.NaN, false, "");
}
