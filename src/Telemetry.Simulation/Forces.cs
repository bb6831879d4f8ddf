namespace Telemetry.Simulation;

/// <summary>Loads and travels of one instant, in the order FL FR RL RR.</summary>
internal sealed class Forces
{
    /// <summary>Pushrod load, N, compression positive.</summary>
    public double[] PushrodN { get; } = new double[4];

    /// <summary>Force at the wheel centre that the pushrod carries, N.</summary>
    public double[] WheelN { get; } = new double[4];

    /// <summary>Damper travel, m.</summary>
    public double[] TravelM { get; } = new double[4];

    /// <summary>Damper ratio.</summary>
    public double[] DamperRatio { get; } = new double[4];

    /// <summary>Contact-patch load, N.</summary>
    public double[] ContactN { get; } = new double[4];

    /// <summary>Aero load at the front axle without the drag's moment, N downwards.</summary>
    public double FrontAeroN { get; set; }

    /// <summary>Aero load at the rear axle without the drag's moment, N downwards.</summary>
    public double RearAeroN { get; set; }

    /// <summary>Force of the plank on the road at the front axle, N.</summary>
    public double FrontPlankN { get; set; }

    /// <summary>Force of the plank on the road at the rear axle, N.</summary>
    public double RearPlankN { get; set; }

    /// <summary>Ride heights above the mean road, as the floor sees them, m.</summary>
    public double FrontHeightM { get; set; }

    /// <summary>Rear ride height, m.</summary>
    public double RearHeightM { get; set; }
}
