namespace Telemetry.Modes;

/// <summary>Loads and displacements of the four corners as heave, pitch, roll and warp; one value a sample of the run's clock, made from the corners when it is read.</summary>
public sealed record ModeSet
{
    /// <summary>Load modes, N; NaN where any corner is.</summary>
    public required LoadModes Load { get; init; }

    /// <summary>Displacement modes; null when not all four dampers are measured.</summary>
    public required DisplacementModes? Displacement { get; init; }
}

/// <summary>Equation E3. Heave = FL+FR+RL+RR; pitch = (FL+FR)-(RL+RR); roll = (FR+RR)-(FL+RL); warp = (FL+RR)-(FR+RL).</summary>
/// <param name="HeaveN">Sum of the four wheel loads, N.</param>
/// <param name="PitchN">Front minus rear, N; nose-down positive.</param>
/// <param name="RollN">Right minus left, N; roll to the right positive.</param>
/// <param name="WarpN">One diagonal minus the other, N.</param>
/// <param name="PitchMomentNm">Moment of the wheel loads about the sprung centre of gravity, N m: a*(FL+FR) - b*(RL+RR), positive when the front carries more than its static share, as under braking.</param>
/// <param name="RollMomentNm">Moment of the wheel loads about the centre line with the real tracks, N m, positive when the right side carries more.</param>
public sealed record LoadModes(
    SampleSource HeaveN,
    SampleSource PitchN,
    SampleSource RollN,
    SampleSource WarpN,
    SampleSource PitchMomentNm,
    SampleSource RollMomentNm);

/// <summary>Displacement modes from wheel travel, with real tracks and wheelbase.</summary>
/// <param name="HeaveM">Mean wheel travel, m, bump positive.</param>
/// <param name="PitchRad">Front minus rear mean travel over the wheelbase, rad, nose-down positive.</param>
/// <param name="RollFrontRad">Right minus left travel over the front track, rad, roll to the right positive.</param>
/// <param name="RollRearRad">The same at the rear, rad.</param>
/// <param name="WarpM">((FL+RR)-(FR+RL))/4, m.</param>
public sealed record DisplacementModes(
    SampleSource HeaveM,
    SampleSource PitchRad,
    SampleSource RollFrontRad,
    SampleSource RollRearRad,
    SampleSource WarpM);
