namespace Telemetry.Simulation;

/// <summary>Something other than a kerb that shook the car or its log.</summary>
/// <param name="Kind">bump, bottoming, shift or spike.</param>
/// <param name="Where">FL, FR, RL or RR; front or rear for a bottoming; car for a shift.</param>
/// <param name="Lap">Lap, from 1.</param>
/// <param name="DistanceM">Reading of the lap distance (front axle) at the time, m.</param>
/// <param name="TimeS">Time of the largest load (bump), of the largest contact force (bottoming), of the start (shift, spike), s.</param>
/// <param name="SpeedKmh">Speed there, km/h.</param>
/// <param name="PeakN">Largest pushrod load (bump), largest contact force (bottoming), size (spike), N; 0 for a shift.</param>
/// <param name="RiseN">Largest pushrod load above the mean of the 0.2 s before, for a bump, N; 0 for others.</param>
public sealed record EventTruth(string Kind, string Where, int Lap, double DistanceM, double TimeS, double SpeedKmh, double PeakN, double RiseN);
