using System.Collections.Immutable;

namespace Telemetry.Car;

/// <summary>An answer that the analysis gives, in the order in which it is worked out.</summary>
public enum CarAnswer
{
    /// <summary>Can the log be trusted.</summary>
    Health,

    /// <summary>Offset and drift of the load cells.</summary>
    Zero,

    /// <summary>Load at each wheel that the pushrod carries.</summary>
    WheelLoads,

    /// <summary>Load at each contact patch.</summary>
    ContactPatchLoads,

    /// <summary>Aero load and balance at a speed, in air taken as still.</summary>
    AeroLoad,

    /// <summary>The same with the wind estimated or measured.</summary>
    AeroInMovingAir,

    /// <summary>Ride heights, rake, third elements, roll split.</summary>
    Platform,

    /// <summary>Kerb strikes and their limits.</summary>
    KerbStrikes,

    /// <summary>Damage and life of one component.</summary>
    Fatigue,

    /// <summary>Shim stack for a wished ride height.</summary>
    Shims,
}

/// <summary>Whether a car file has enough for one answer.</summary>
/// <param name="Answer">The answer.</param>
/// <param name="ComponentId">The component, for fatigue; null for all others.</param>
/// <param name="Missing">Fields without which the answer is withheld, as paths; "a or b" where either is enough. Empty when the answer can be given.</param>
/// <param name="WouldImprove">Fields that are not there and would make the answer better, each with what is done without it.</param>
public sealed record AnswerNeeds(CarAnswer Answer, string? ComponentId, ImmutableArray<string> Missing, ImmutableArray<string> WouldImprove)
{
    /// <summary>True when nothing is missing; a log must still have the channels.</summary>
    public bool IsCarried => Missing.IsEmpty;
}

/// <summary>What is to be said about a car file.</summary>
/// <param name="Source">The path as it was given.</param>
/// <param name="Car">The car; null when the file has a fault.</param>
/// <param name="Faults">Everything for which the file cannot be used, by line.</param>
/// <param name="Warnings">What a person should look at though the file can be used, by line.</param>
/// <param name="Answers">Each answer, fatigue once a component; empty when the file could not be read as text.</param>
public sealed record CarFileCheck(
    string Source,
    CarDefinition? Car,
    ImmutableArray<InputFault> Faults,
    ImmutableArray<InputFault> Warnings,
    ImmutableArray<AnswerNeeds> Answers)
{
    /// <summary>True when the file can be used.</summary>
    public bool IsUsable => Car is not null;
}
