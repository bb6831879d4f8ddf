using System.Collections.Immutable;

namespace Telemetry.Car;

/// <summary>Everything the car file says, in SI units. Optional parts are null when the file does not give them.</summary>
public sealed record CarDefinition
{
    /// <summary>The car's name, shown on every output.</summary>
    public required string Name { get; init; }

    /// <summary>Path of the car file as it was given; empty for a car made in code.</summary>
    public string Source { get; init; } = "";

    /// <summary>Lengths of the car.</summary>
    public required CarGeometry Geometry { get; init; }

    /// <summary>Masses of the car.</summary>
    public required CarMasses Masses { get; init; }

    /// <summary>Front and rear suspension.</summary>
    public required PerAxle<AxleSuspension> Suspension { get; init; }

    /// <summary>The setup sheet's state at standstill.</summary>
    public required SetupSheet Setup { get; init; }

    /// <summary>Which logged channel plays which role; at most one entry a role.</summary>
    public required ImmutableArray<ChannelMapping> Channels { get; init; }

    /// <summary>Parts whose limits and life are followed; ids are unique.</summary>
    public ImmutableArray<ComponentDefinition> Components { get; init; } = [];

    /// <summary>Calibrations of the load cells, in the order of the file.</summary>
    public ImmutableArray<CalibrationRecord> Calibrations { get; init; } = [];

    /// <summary>Weather of the day for a log that has none; null means neither.</summary>
    public Weather? Weather { get; init; }

    /// <summary>How the log is to be read.</summary>
    public Logs.LogOptions Log { get; init; } = Logs.LogOptions.Default;

    /// <summary>Nominal length of a lap, m; null when the file gives none.</summary>
    public double? LapLengthM { get; init; }

    /// <summary>Shims that the workshop holds, thinnest first, m; empty when the file gives none.</summary>
    public ImmutableArray<double> ShimStepsM { get; init; } = [];

    /// <summary>The mapping of a role, or null when the car file does not map it.</summary>
    public ChannelMapping? Mapping(ChannelRole role)
    {
        foreach (ChannelMapping mapping in Channels)
        {
            if (mapping.Role == role)
            {
                return mapping;
            }
        }

        return null;
    }
}

/// <summary>Lengths of the car, m.</summary>
/// <param name="WheelbaseM">L, distance between the axles.</param>
/// <param name="TrackM">t, distance between the wheel centre planes of an axle.</param>
/// <param name="SprungCentreBehindFrontAxleM">a, distance of the sprung centre of gravity behind the front axle; b = L - a.</param>
/// <param name="CentreHeightM">h, height of the whole car's centre of gravity above ground at static ride height.</param>
/// <param name="RollCentreHeightM">Height of the roll centre of each axle; null when not given (no geometric transfer is then shown).</param>
/// <param name="UnsprungCentreHeightM">Height of the unsprung centre of gravity of each axle; null when not given.</param>
public sealed record CarGeometry(
    Measured WheelbaseM,
    PerAxle<double> TrackM,
    Measured SprungCentreBehindFrontAxleM,
    Measured CentreHeightM,
    PerAxle<double>? RollCentreHeightM = null,
    PerAxle<double>? UnsprungCentreHeightM = null);

/// <summary>Masses, kg.</summary>
/// <param name="WithoutFuelKg">The whole car with driver and without fuel.</param>
/// <param name="UnsprungKg">Unsprung mass of each axle, both wheels together.</param>
/// <param name="FuelAtStartKg">Fuel on board at the first sample of the log.</param>
/// <param name="FuelPerLapKg">Fuel burned on each lap; null when not given. A logged fuel mass goes before it.</param>
public sealed record CarMasses(
    Measured WithoutFuelKg,
    PerAxle<double> UnsprungKg,
    Measured FuelAtStartKg,
    double? FuelPerLapKg = null)
{
    /// <summary>Standard uncertainty of the unsprung mass of each axle, kg; 0 when none was given.</summary>
    public PerAxle<double> UnsprungUncertaintyKg { get; init; } = new(0, 0);
}

/// <summary>What lies between the wheels of one axle and the chassis.</summary>
public sealed record AxleSuspension
{
    /// <summary>i, pushrod axial travel per wheel vertical travel, against damper travel from the static position (equation E1).</summary>
    public required RatioCurve InstallationRatio { get; init; }

    /// <summary>d, damper travel per wheel travel, against damper travel from the static position.</summary>
    public required RatioCurve DamperRatio { get; init; }

    /// <summary>eta under braking: share of the longitudinal load transfer that the links carry (anti-dive at the front, anti-lift at the rear), 0 to 1.</summary>
    public double LinkageShareBraking { get; init; }

    /// <summary>eta under driving: anti-squat at the rear of a rear-driven car, 0 to 1.</summary>
    public double LinkageShareDriving { get; init; }

    /// <summary>Corner spring rate at the damper, N/m; null when not given.</summary>
    public double? SpringRateNpm { get; init; }

    /// <summary>Anti-roll bar as rate at the wheel for opposite travel (N per metre of one wheel's travel in pure roll); null when not given.</summary>
    public double? AntiRollBarRateNpm { get; init; }

    /// <summary>Third element that works in heave only; null when the axle has none or the file does not describe it.</summary>
    public ThirdElement? Third { get; init; }

    /// <summary>Vertical stiffness of one tyre, N/m; null when not given.</summary>
    public double? TyreRateNpm { get; init; }
}

/// <summary>A spring and bump rubber between both rockers of an axle, loaded by heave and not by roll.</summary>
/// <param name="SpringRateNpm">Rate per metre of mean damper-equivalent travel of the two sides, N/m; 0 when only a rubber is fitted.</param>
/// <param name="SpringGapM">Mean damper travel from static before the spring engages, m; negative means preloaded.</param>
/// <param name="RubberGapM">Mean damper travel from static before the bump rubber is touched, m; null without a rubber.</param>
/// <param name="Rubber">Force of the bump rubber against its compression, rising from (0, 0); empty without one.</param>
public sealed record ThirdElement(double SpringRateNpm, double SpringGapM, double? RubberGapM, ImmutableArray<ForcePoint> Rubber);

/// <summary>A point of a force-compression curve.</summary>
/// <param name="CompressionM">Compression, m.</param>
/// <param name="ForceN">Force, N.</param>
public readonly record struct ForcePoint(double CompressionM, double ForceN);

/// <summary>The state at standstill on the ground that the setup sheet records.</summary>
/// <param name="CornerWeightN">Contact-patch load of each corner on the scales, N, car as it went out (driver in, fuel as stated); null when not given.</param>
/// <param name="CornerWeightUncertaintyN">Standard uncertainty of one corner's weight, N (scales and friction of the suspension).</param>
/// <param name="FuelOnScalesKg">Fuel on board when it was weighed; null means the fuel at the start of the log.</param>
/// <param name="RideHeightM">Static ride height of each axle on the centre line, m; null when not given.</param>
public sealed record SetupSheet(
    PerCorner<double>? CornerWeightN,
    double CornerWeightUncertaintyN,
    double? FuelOnScalesKg,
    PerAxle<double>? RideHeightM);

/// <summary>Air at the circuit.</summary>
/// <param name="TemperatureK">Temperature, K.</param>
/// <param name="PressurePa">Static pressure at the circuit (not reduced to sea level), Pa.</param>
/// <param name="RelativeHumidity">Relative humidity, 0 to 1.</param>
public sealed record Weather(double TemperatureK, double PressurePa, double RelativeHumidity);

/// <summary>How a logged channel becomes a role.</summary>
public sealed record ChannelMapping
{
    /// <summary>The role it plays.</summary>
    public required ChannelRole Role { get; init; }

    /// <summary>The channel's name in the log, exact.</summary>
    public required string Name { get; init; }

    /// <summary>The unit of the logged numbers where the log gives none or one that is not known; null means the log's own. A known unit of the log that contradicts it is an input error.</summary>
    public string? Unit { get; init; }

    /// <summary>+1, or -1 when the logger counts the other way (tension or droop positive).</summary>
    public int Sign { get; init; } = 1;

    /// <summary>Lower and upper end of the sensor's range in SI, after the sign; null when not given.</summary>
    public (double Low, double High)? Range { get; init; }

    /// <summary>One step of the recorded number, SI; null when not given.</summary>
    public double? Resolution { get; init; }

    /// <summary>Gain error as a standard uncertainty of the reading, share (0.005 = 0.5 %); 0 when not given.</summary>
    public double GainUncertainty { get; init; }

    /// <summary>Serial number of the sensor; null when not given.</summary>
    public string? Serial { get; init; }

    /// <summary>Cut-off of a low-pass already applied in the sensor or logger, Hz; null when none is known.</summary>
    public double? LoggerCutOffHz { get; init; }

    /// <summary>For a brake channel: above this value (SI or share) the driver brakes; null means 5 % of the channel's 99th percentile.</summary>
    public double? Threshold { get; init; }

    /// <summary>For a damper: true when the logged number is already travel from the static position; false (default) when the standstill reading is its zero.</summary>
    public bool IsFromStatic { get; init; }
}
