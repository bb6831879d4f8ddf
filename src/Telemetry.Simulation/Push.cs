namespace Telemetry.Simulation;

/// <summary>What acts on the car from outside at one instant.</summary>
internal struct Push
{
    /// <summary>Specific force along the road, m/s2.</summary>
    public double LongitudinalMps2;

    /// <summary>Lateral specific force, m/s2, left positive.</summary>
    public double LateralMps2;

    /// <summary>Specific force across the smooth road, m/s2; g at rest.</summary>
    public double VerticalMps2;

    /// <summary>Dynamic pressure, Pa.</summary>
    public double DynamicPressurePa;

    /// <summary>Mass of the whole car, kg.</summary>
    public double MassKg;

    /// <summary>Force of the tyres along the road, N.</summary>
    public double ThrustN;

    /// <summary>Somebody's hands on the standing car: force on the body upwards at its centre of gravity, N.</summary>
    public double HandsN;

    /// <summary>The hands' pitch and roll moments, N m.</summary>
    public double HandsPitchNm;

    /// <summary>The hands' roll moment, N m.</summary>
    public double HandsRollNm;

    /// <summary>Height of the road under each wheel, m, and its rate of change as the wheel drives over it, m/s.</summary>
    public double RoadFL, RoadFR, RoadRL, RoadRR, RateFL, RateFR, RateRL, RateRR;

    /// <summary>Mean road height that the floor sees at each axle, m.</summary>
    public double FloorFront, FloorRear;
}
