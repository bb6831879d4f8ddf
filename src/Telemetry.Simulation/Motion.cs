namespace Telemetry.Simulation;

/// <summary>Seven positions and seven speeds: body heave (m, up), pitch (rad, nose down), roll (rad, to the right), then the wheels FL FR RL RR (m, up), all from the state on the scales.</summary>
internal static class Motion
{
    public const int Degrees = 7;
    public const int Size = 2 * Degrees;
    public const int Heave = 0;
    public const int Pitch = 1;
    public const int Roll = 2;
    public const int Wheel = 3;
}
