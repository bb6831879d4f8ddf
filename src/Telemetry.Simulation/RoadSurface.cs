namespace Telemetry.Simulation;

/// <summary>Height of the road under the left and the right wheels, and averaged under the floor; the same on every lap.</summary>
/// <remarks>
/// White noise through first-order recursions gives a displacement spectrum that falls with the square of the spatial frequency, as ISO 8608:2016
/// section 5 and annex C describe roads. The recursions are closed over the lap, so that there is no jump at the line.
/// Left and right share a common part and differ by a part that fades at long waves: one spectrum for both, coherence from 1 down to 0.
/// </remarks>
internal sealed class RoadSurface
{
    private const double ReferenceCyclesPerM = 0.1;

    // The tyre's contact patch averages over this length.
    private const double GridM = 0.1;

    private readonly double[] heights;
    private readonly int count;
    private readonly double perMetre;
    private readonly double startM;
    private readonly double endM;

    // The car stands on level ground: the road grows rough over this length behind the box.
    private const double FadeM = 25;

    /// <param name="road">Roughness.</param>
    /// <param name="lapM">Length of the lap, m.</param>
    /// <param name="wheelbaseM">Length over which the floor sees the mean road, m.</param>
    /// <param name="startM">Where the front axle stands before the run, m from the first line.</param>
    /// <param name="endM">Where it stands after the run, m.</param>
    public RoadSurface(RoadDefinition road, double lapM, double wheelbaseM, double startM, double endM)
    {
        this.startM = startM + wheelbaseM;
        this.endM = endM - wheelbaseM;
        count = (int)Math.Round(lapM / GridM);
        perMetre = count / lapM;
        (double[] left, double[] right) = Tracks(road, count, lapM / count);
        double[] floor = FloorMean(left, right, (int)Math.Round(wheelbaseM * perMetre));
        heights = new double[3 * (count + 3)];
        for (int i = 0; i < count + 3; i++)
        {
            // One node before and two after the lap let the interpolation run through without a wrap.
            int k = (i - 1 + count) % count;
            heights[3 * i] = left[k];
            heights[(3 * i) + 1] = right[k];
            heights[(3 * i) + 2] = floor[k];
        }
    }

    /// <summary>Left and right heights (m) and their slopes along the road, and the floor's mean height.</summary>
    public void At(double distanceM, out double left, out double leftSlope, out double right, out double rightSlope, out double floor)
    {
        double gain = Gain(distanceM);
        if (gain == 0)
        {
            left = leftSlope = right = rightSlope = floor = 0;
            return;
        }

        double place = distanceM * perMetre;
        double below = Math.Floor(place);
        double u = place - below;
        long lap = (long)below % count;
        int node = 3 * (int)(lap < 0 ? lap + count : lap);
        ReadOnlySpan<double> h = heights.AsSpan(node, 12);

        // Catmull-Rom: value and slope are continuous.
        (left, leftSlope) = Curve(h[0], h[3], h[6], h[9], u);
        (right, rightSlope) = Curve(h[1], h[4], h[7], h[10], u);
        floor = gain * (h[5] + (u * (h[8] - h[5])));
        left *= gain;
        right *= gain;
        double scale = gain * perMetre;
        leftSlope *= scale;
        rightSlope *= scale;
    }

    private double Gain(double distanceM)
    {
        double u = Math.Min(distanceM - startM, endM - distanceM) / FadeM;
        return u >= 1 ? 1 : u <= 0 ? 0 : u * u * (3 - (2 * u));
    }

    private static (double Value, double Slope) Curve(double before, double from, double to, double after, double u)
    {
        double a = 0.5 * (to - before);
        double b = before - (2.5 * from) + (2 * to) - (0.5 * after);
        double c = (0.5 * (after - before)) + (1.5 * (from - to));
        return (from + (u * (a + (u * (b + (u * c))))), a + (u * ((2 * b) + (3 * u * c))));
    }

    /// <summary>Both tracks on an even grid over one lap.</summary>
    internal static (double[] Left, double[] Right) Tracks(RoadDefinition road, int count, double stepM)
    {
        double[] left = new double[count];
        double[] right = new double[count];
        if (road.SpectrumAtReference <= 0)
        {
            return (left, right);
        }

        // A sum of white steps of variance s2 has the one-sided spectrum s2 / (2 pi^2 n^2 step): this s2 gives the wanted value at 0.1 cycles/m.
        double sigma = Math.Sqrt(2 * Math.PI * Math.PI * ReferenceCyclesPerM * ReferenceCyclesPerM * stepM * road.SpectrumAtReference);
        double half = sigma * Math.Sqrt(0.5);
        SeededRandom random = new(road.Seed, "road");
        double[] common = Walk(Noise(random, count, half), 1 / road.LongestWaveM, stepM);
        double[] commonLong = LowPass(Walk(Noise(random, count, half), 1 / road.LongestWaveM, stepM), 1 / road.CoherenceWaveM, stepM);
        double[] difference = Walk(Noise(random, count, half), 1 / road.CoherenceWaveM, stepM);
        for (int i = 0; i < count; i++)
        {
            double mean = common[i] + commonLong[i];
            left[i] = mean + difference[i];
            right[i] = mean - difference[i];
        }

        return (Patch(left), Patch(right));
    }

    private static double[] Noise(SeededRandom random, int count, double sigma)
    {
        double[] noise = new double[count];
        for (int i = 0; i < count; i++)
        {
            noise[i] = sigma * random.Normal();
        }

        return noise;
    }

    // y[k] = rho y[k-1] + sqrt(rho) e[k], closed over the lap. rho = exp(-2 pi n step) to second order; the root keeps the level of
    // short waves, where |1 - rho e^(i w)|^2 tends to rho w^2.
    private static double[] Walk(double[] steps, double cyclesPerM, double stepM)
    {
        double x = Math.PI * cyclesPerM * stepM;
        double rho = (1 - x) / (1 + x);
        return Closed(steps, rho, Math.Sqrt(rho));
    }

    private static double[] LowPass(double[] values, double cyclesPerM, double stepM)
    {
        double x = Math.PI * cyclesPerM * stepM;
        double rho = (1 - x) / (1 + x);
        return Closed(values, rho, 1 - rho);
    }

    private static double[] Closed(double[] input, double rho, double gain)
    {
        double state = 0;
        double power = 1;
        foreach (double value in input)
        {
            state = (rho * state) + (gain * value);
            power *= rho;
        }

        state /= 1 - power;
        double[] output = new double[input.Length];
        for (int i = 0; i < input.Length; i++)
        {
            state = (rho * state) + (gain * input[i]);
            output[i] = state;
        }

        return output;
    }

    private static double[] Patch(double[] values)
    {
        double[] result = new double[values.Length];
        for (int i = 0; i < values.Length; i++)
        {
            result[i] = (values[(i + values.Length - 1) % values.Length] + (2 * values[i]) + values[(i + 1) % values.Length]) / 4;
        }

        return result;
    }

    private static double[] FloorMean(double[] left, double[] right, int window)
    {
        int count = left.Length;
        int half = Math.Max(1, window / 2);
        double[] mean = new double[count];
        for (int i = 0; i < count; i++)
        {
            double sum = 0;
            for (int k = -half; k <= half; k++)
            {
                int j = (i + k + count) % count;
                sum += left[j] + right[j];
            }

            mean[i] = sum / (2 * ((2 * half) + 1));
        }

        return mean;
    }
}
