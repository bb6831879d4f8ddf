namespace Telemetry.Aero;

/// <summary>Where the car was heading.</summary>
internal static class Headings
{
    /// <summary>Fewest pairs of the same place on two laps from which the drift of an integrated heading is taken.</summary>
    private const int FewestPairs = 3;

    /// <summary>Laps are laid over each other in steps of this distance, m: shorter than any straight, longer than a window at speed.</summary>
    private const double PlaceM = 50;

    /// <summary>Gives every window its direction of travel: by the course channel, else by the integrated yaw rate, else by a_y / v.</summary>
    /// <returns>Whether headings are known, and whether from north.</returns>
    public static (bool Known, bool FromNorth) Set(RunWindow[] windows, BlockMeans blocks, double stepS, double yawOffset, double lateralOffset)
    {
        if (blocks.CourseCosine is { } cosine && blocks.CourseSine is { } sine)
        {
            bool any = false;
            for (int w = 0; w < windows.Length; w++)
            {
                windows[w].Direction = MiddleDirection(cosine, sine, w);
                any |= double.IsFinite(windows[w].Direction.Cosine);
            }

            return (any, any);
        }

        double[]? yaw = blocks.YawRate is { } rate
            ? [.. rate.Select(r => r - yawOffset)]
            : blocks.AccelerationY is { } lateral && blocks.Speed is { } speed
                ? [.. lateral.Zip(speed, (a, v) => v > 5 ? (a - lateralOffset) / v : 0)]
                : null;
        if (yaw is null || yaw.All(double.IsNaN))
        {
            return (false, false);
        }

        double[] heading = Integrate(yaw, blocks.Length * stepS, windows.Length);
        double drift = Drift(windows, heading);
        if (!double.IsFinite(drift))
        {
            // Nothing tells how far the integral has run away: only a run of one lap would stand it.
            return (false, false);
        }

        for (int w = 0; w < windows.Length; w++)
        {
            (double s, double c) = Math.SinCos(heading[w] - (drift * windows[w].TimeS));
            windows[w].Direction = (c, s);
        }

        return (true, false);
    }

    /// <summary>Angle brought to 0 up to a full turn.</summary>
    public static double Wrap(double angle)
    {
        double wrapped = Math.IEEERemainder(angle, Math.Tau);
        return wrapped < 0 ? wrapped + Math.Tau : wrapped;
    }

    /// <summary>Largest angle between two headings, at most half a turn, rad; 0 for fewer than two.</summary>
    public static double Spread(IReadOnlyList<StraightPass> passes)
    {
        double largest = 0;
        for (int i = 0; i < passes.Count; i++)
        {
            for (int j = 0; j < i; j++)
            {
                largest = Math.Max(largest, Math.Abs(Math.IEEERemainder(passes[i].HeadingRad - passes[j].HeadingRad, Math.Tau)));
            }
        }

        return largest;
    }

    private static (double Cosine, double Sine) MiddleDirection(double[] cosine, double[] sine, int window)
    {
        // The block in the middle, or a neighbour where it has a gap.
        int first = window * BlockMeans.PerWindow;
        foreach (int k in new[] { 2, 1, 3, 0, 4 })
        {
            if (double.IsFinite(cosine[first + k]))
            {
                return (cosine[first + k], sine[first + k]);
            }
        }

        return (double.NaN, double.NaN);
    }

    /// <summary>Clockwise heading at the middle of each window, rad, from an arbitrary direction at the start; a gap counts as straight on.</summary>
    private static double[] Integrate(double[] yaw, double blockS, int count)
    {
        double[] heading = new double[count];
        double angle = 0;
        for (int w = 0; w < count; w++)
        {
            for (int k = 0; k < BlockMeans.PerWindow; k++)
            {
                double rate = yaw[(w * BlockMeans.PerWindow) + k];
                double turned = double.IsFinite(rate) ? -rate * blockS : 0;
                angle += turned;
                if (k == BlockMeans.PerWindow / 2)
                {
                    heading[w] = angle - (turned / 2);
                }
            }
        }

        return heading;
    }

    /// <summary>Rate at which the integral runs away, rad/s: at the same place of two laps the heading differs by whole turns only. NaN without enough such places.</summary>
    private static double Drift(RunWindow[] windows, double[] heading)
    {
        Dictionary<int, int> lastAt = [];
        List<double> rates = [];
        for (int w = 0; w < windows.Length; w++)
        {
            if (windows[w].RejectedBecause is not null || !double.IsFinite(windows[w].DistanceM))
            {
                continue;
            }

            int place = (int)Math.Round(windows[w].DistanceM / PlaceM);
            if (lastAt.TryGetValue(place, out int before) && windows[before].Lap != windows[w].Lap)
            {
                double elapsed = windows[w].TimeS - windows[before].TimeS;
                rates.Add(Math.IEEERemainder(heading[w] - heading[before], Math.Tau) / elapsed);
            }

            lastAt[place] = w;
        }

        return rates.Count >= FewestPairs ? OrderStatistics.Median([.. rates]) : double.NaN;
    }
}
