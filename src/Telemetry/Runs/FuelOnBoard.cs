using Telemetry.Car;

namespace Telemetry.Runs;

/// <summary>Fuel on board during a run.</summary>
public static class FuelOnBoard
{
    /// <summary>Fuel at a sample of the clock, kg: the logged mass where there is one, else the fuel at the start less what each complete and begun lap burned, else the fuel at the start.</summary>
    /// <remarks>Within a lap fuel is taken off in proportion to the distance run, not below zero.</remarks>
    /// <param name="run">The run.</param>
    /// <param name="index">Sample of the clock, from 0.</param>
    public static double At(Run run, int index)
    {
        ArgumentNullException.ThrowIfNull(run);
        if (run.Has(ChannelRole.FuelMass) && double.IsFinite(run.OnClock(ChannelRole.FuelMass)[index]))
        {
            return run.OnClock(ChannelRole.FuelMass)[index];
        }

        double start = run.Car.Masses.FuelAtStartKg.Value;
        if (run.Car.Masses.FuelPerLapKg is not double perLap)
        {
            return start;
        }

        double laps = 0;
        double lapLength = LapLength(run);
        foreach (Lap lap in run.Laps.Laps)
        {
            if (index >= lap.EndIndex)
            {
                laps += Share(lap, lapLength);
            }
            else
            {
                double along = (double)(index - lap.StartIndex) / Math.Max(1, lap.EndIndex - lap.StartIndex);
                if (!run.LapDistanceM.IsEmpty && lapLength > 0 && double.IsFinite(run.LapDistanceM[index]))
                {
                    double begun = double.IsFinite(run.LapDistanceM[lap.StartIndex]) ? run.LapDistanceM[lap.StartIndex] : 0;
                    along = Math.Clamp((run.LapDistanceM[index] - begun) / lapLength, 0, 1);
                    laps += along;
                }
                else
                {
                    laps += along * Share(lap, lapLength);
                }

                break;
            }
        }

        return Math.Max(0, start - (laps * perLap));
    }

    private static double LapLength(Run run)
    {
        if (run.Car.LapLengthM is double nominal)
        {
            return nominal;
        }

        double longest = 0;
        foreach (Lap lap in run.Laps.Laps)
        {
            longest = lap.LengthM > longest ? lap.LengthM : longest;
        }

        return longest;
    }

    private static double Share(Lap lap, double lapLength) =>
        lap.IsComplete ? 1 : lapLength > 0 && double.IsFinite(lap.LengthM) ? Math.Min(1, lap.LengthM / lapLength) : 0;
}
