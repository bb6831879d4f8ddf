using Telemetry.Car;
using Telemetry.Runs;

namespace Telemetry.Aero;

/// <summary>The wind as a weather station logs it, brought to the height of the car.</summary>
/// <param name="North">Component from north at the height of the car, m/s, mean of the windows used.</param>
/// <param name="East">Component from east.</param>
/// <param name="StandardUncertaintyMps">Of each component, m/s: place and height of the station.</param>
internal sealed record StationWind(double North, double East, double StandardUncertaintyMps)
{
    /// <summary>Components from north and east at a sample; NaN where the log has no wind.</summary>
    public static (double North, double East) At(Run run, int index)
    {
        SampleSource speed = run.OnClock(ChannelRole.WindSpeed);
        SampleSource direction = run.OnClock(ChannelRole.WindDirection);
        if (speed.IsEmpty || direction.IsEmpty)
        {
            return (double.NaN, double.NaN);
        }

        (double sine, double cosine) = Math.SinCos(direction[index]);
        return (speed[index] * cosine, speed[index] * sine);
    }

    /// <summary>The station's wind over the windows; null where a window lacks it or headings are not from north, so that it could not be laid along the straights.</summary>
    public static StationWind? Of(AeroEvidence evidence, AeroOptions options)
    {
        if (evidence.MeasuresAir || !evidence.HeadingKnown || !evidence.FromNorth || evidence.Used.Count == 0)
        {
            return null;
        }

        double north = 0;
        double east = 0;
        foreach (RunWindow window in evidence.Used)
        {
            north += options.StationWindShare * window.StationWind.North / evidence.Used.Count;
            east += options.StationWindShare * window.StationWind.East / evidence.Used.Count;
        }

        double logged = double.Hypot(north, east) / options.StationWindShare;
        return double.IsFinite(logged)
            ? new(north, east, double.Hypot(options.StationWindMps, options.StationWindShareUncertainty * logged))
            : null;
    }

    /// <summary>Head wind of a window by the station, m/s.</summary>
    public static double HeadMps(RunWindow window, double headingRad, AeroOptions options)
    {
        (double sine, double cosine) = Math.SinCos(headingRad);
        return options.StationWindShare * ((window.StationWind.North * cosine) + (window.StationWind.East * sine));
    }
}
