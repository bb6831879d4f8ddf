using System.Collections.Immutable;
using Telemetry.Car;

namespace Telemetry.Simulation;

/// <summary>Writes down what shook the car or its log besides kerbs.</summary>
internal static class EventTruths
{
    private const double BeforeBumpS = 0.2;

    public static ImmutableArray<EventTruth> Of(Scenario scenario, CircuitPath path, TrueSignals signals)
    {
        List<EventTruth> events = [];
        foreach (TrueStrike bump in signals.Bumps)
        {
            double rise = bump.PeakN - MeanBefore(signals.PushrodN[bump.Corner], bump.StartS, signals.FastRateHz);
            events.Add(At("bump", ((Corner)bump.Corner).Code(), bump.PeakS, bump.PeakN, rise));
        }

        foreach (TrueContact contact in signals.Contacts)
        {
            events.Add(At("bottoming", contact.IsFront ? "front" : "rear", contact.PeakS, contact.PeakN, 0));
        }

        foreach (int shift in signals.Drive.ShiftsAt)
        {
            events.Add(At("shift", "car", (double)shift / Drive.RateHz, 0, 0));
        }

        for (int corner = 0; corner < 4; corner++)
        {
            foreach (CellSpike spike in CellSpikes.Of(scenario, corner, signals.FastCount, signals.FastRateHz))
            {
                events.Add(At("spike", ((Corner)corner).Code(), (double)spike.Index / signals.FastRateHz, spike.SizeN, 0));
            }
        }

        return [.. events.OrderBy(e => e.TimeS).ThenBy(e => e.Where, StringComparer.Ordinal)];

        EventTruth At(string kind, string where, double timeS, double peakN, double riseN)
        {
            int node = Math.Clamp((int)(timeS * Drive.RateHz), 0, signals.Drive.Count - 1);
            double distance = signals.Drive.DistanceM[node];
            return new(kind, where, (int)(distance / path.LengthM) + 1, Round(path.WithinLap(distance)), Round(timeS), Round(signals.Drive.SpeedMps[node] * 3.6), Round(peakN), Round(riseN));
        }
    }

    private static double MeanBefore(double[] load, double startS, int rateHz)
    {
        int to = Math.Clamp((int)(startS * rateHz), 1, load.Length);
        int from = Math.Max(0, to - (int)(BeforeBumpS * rateHz));
        double mean = 0;
        for (int i = from; i < to; i++)
        {
            mean += load[i] / (to - from);
        }

        return mean;
    }

    private static double Round(double value) => Math.Round(value, 4, MidpointRounding.ToEven);
}
