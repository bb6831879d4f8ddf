namespace Telemetry.Review;

/// <summary>Why something is on the inspection list, in the order of the list.</summary>
public enum InspectionReason
{
    /// <summary>A limit was passed, or may have been within what is uncertain.</summary>
    LimitExceeded,

    /// <summary>The inspection threshold was reached.</summary>
    ThresholdReached,

    /// <summary>The life is used up, or more than 80 % of it.</summary>
    LifeUsed,

    /// <summary>The load against travel has changed from the part's own history.</summary>
    ComplianceDrift,

    /// <summary>Left and right shake differently on the same road.</summary>
    Asymmetry,

    /// <summary>It could not be judged, or a sensor is at fault.</summary>
    NotJudged,
}

/// <summary>One thing to look at.</summary>
/// <param name="Rank">From 1, the first to look at first.</param>
/// <param name="Reason">Why it is on the list.</param>
/// <param name="Subject">Part, corner, axle or channel.</param>
/// <param name="LookAt">What to look at, as an instruction.</param>
/// <param name="Because">What was seen, with numbers and how sure it is.</param>
/// <param name="Probability">Probability that the reason holds, 0 to 1; NaN where none can be stated.</param>
public sealed record InspectionItem(int Rank, InspectionReason Reason, string Subject, string LookAt, string Because, double Probability);
