namespace Telemetry.Tests.Output;

/// <summary>What a synthetic review is to look like. The defaults give four laps of 50 s at 200 Hz.</summary>
internal sealed record SampleOptions
{
    /// <summary>Sampling rate of every channel, Hz.</summary>
    public double RateHz { get; init; } = 200;

    /// <summary>Laps; the first one starts at standstill and is not complete.</summary>
    public int Laps { get; init; } = 4;

    /// <summary>Cycles counted for each component.</summary>
    public int Cycles { get; init; } = 4000;

    /// <summary>True when the position was logged.</summary>
    public bool HasPosition { get; init; } = true;

    /// <summary>True when damper travel was logged.</summary>
    public bool HasDampers { get; init; } = true;

    /// <summary>Name of the run.</summary>
    public string RunName { get; init; } = "rough afternoon run";

    /// <summary>Name of the car.</summary>
    public string CarName { get; init; } = "Invented car 3";

    /// <summary>Put in front of every component id and channel name: lets a test see what becomes of a hostile name.</summary>
    public string NamePrefix { get; init; } = "";

    /// <summary>Seed of the road's roughness and of the cycles.</summary>
    public int Seed { get; init; } = 11;
}
