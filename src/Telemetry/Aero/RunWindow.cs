using Telemetry.Car;

namespace Telemetry.Aero;

/// <summary>Means over one window and what became of it.</summary>
internal sealed class RunWindow
{
    /// <summary>First sample on the clock.</summary>
    public required int StartIndex { get; init; }

    /// <summary>One past the last.</summary>
    public required int EndIndex { get; init; }

    public required double StartS { get; init; }

    public required double EndS { get; init; }

    public required int Lap { get; init; }

    /// <summary>Mean wheel load of each corner, N, order FL FR RL RR.</summary>
    public required double[] LoadN { get; init; }

    /// <summary>Mean road speed, m/s.</summary>
    public required double SpeedMps { get; init; }

    /// <summary>Mean of the speed that makes the dynamic pressure (air speed where it is measured), m/s.</summary>
    public required double FlowSpeedMps { get; init; }

    /// <summary>Mean of its square, m2/s2.</summary>
    public required double FlowSpeedSquared { get; init; }

    /// <summary>Mean longitudinal specific force as logged, m/s2.</summary>
    public required double AccelerationX { get; init; }

    /// <summary>Mean vertical specific force as logged, m/s2.</summary>
    public required double AccelerationZ { get; init; }

    /// <summary>Mean front ride height, mm, from any fixed zero; NaN when unknown.</summary>
    public required double FrontHeightMm { get; init; }

    /// <summary>The same at the rear, mm.</summary>
    public required double RearHeightMm { get; init; }

    /// <summary>Fuel on board at its middle, kg.</summary>
    public required double FuelKg { get; init; }

    /// <summary>Distance along the lap at its start, m; NaN when unknown.</summary>
    public required double DistanceM { get; init; }

    /// <summary>Direction of travel as a vector (cosine, sine of the clockwise heading); NaN when unknown.</summary>
    public (double Cosine, double Sine) Direction { get; set; } = (double.NaN, double.NaN);

    /// <summary>Wind that a weather station logged, from north and from east, m/s as logged; NaN without.</summary>
    public (double North, double East) StationWind { get; init; } = (double.NaN, double.NaN);

    /// <summary>Why it is not quasi-steady or not used; null while it stands.</summary>
    public string? RejectedBecause { get; set; }

    /// <summary>True when the reason ends a straight, false when the straight goes on behind it.</summary>
    public bool EndsStraight { get; set; }

    /// <summary>Number of its pass from 1; 0 outside.</summary>
    public int Pass { get; set; }

    public double TimeS => (StartS + EndS) / 2;

    public double AxleLoadN(Axle axle) => axle == Axle.Front ? LoadN[0] + LoadN[1] : LoadN[2] + LoadN[3];

    public void Reject(string reason, bool endsStraight)
    {
        RejectedBecause ??= reason;
        EndsStraight |= endsStraight;
    }
}
