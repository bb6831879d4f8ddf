namespace Telemetry.Simulation;

/// <summary>A circuit sampled every half metre or so: curvature, heading, place, gradient. Periodic in the lap length.</summary>
internal sealed class CircuitPath
{
    // Straights and arcs are joined by a change of curvature over this length, as a driver's line is.
    private const double TransitionM = 24;

    private readonly double[] curvature;
    private readonly double[] turned;
    private readonly double[] east;
    private readonly double[] north;
    private readonly double[] gradient;
    private readonly double[] verticalCurvature;
    private readonly double startCourseRad;
    private readonly double turnPerLap;

    public CircuitPath(CircuitDefinition circuit)
    {
        LengthM = circuit.Segments.Sum(s => s.LengthM);
        int count = (int)Math.Ceiling(LengthM / 0.5);
        StepM = LengthM / count;
        startCourseRad = circuit.StartCourseRad;
        curvature = Smooth(Raw(circuit, count), StepM);
        turnPerLap = 2 * Math.PI * Math.Sign(circuit.Segments.Sum(s => s.TurnRad));
        (turned, east, north) = Trace();
        (gradient, verticalCurvature) = Slopes(circuit, count);
    }

    public double LengthM { get; }

    public double StepM { get; }

    public int Count => curvature.Length;

    /// <summary>Curvature at a distance, 1/m, left positive.</summary>
    public double Curvature(double distanceM) => At(curvature, distanceM);

    /// <summary>Course over ground, rad clockwise from north, from 0 to 2 pi.</summary>
    public double Course(double distanceM)
    {
        (int i, int next, double share) = Place(distanceM);
        double end = next == 0 ? turned[0] + turnPerLap : turned[next];
        double course = startCourseRad - (turned[i] + (share * (end - turned[i])));
        double full = 2 * Math.PI;
        return course - (full * Math.Floor(course / full));
    }

    public (double East, double North) Position(double distanceM) => (At(east, distanceM), At(north, distanceM));

    /// <summary>Slope angle, rad, uphill positive.</summary>
    public double Gradient(double distanceM) => At(gradient, distanceM);

    /// <summary>Change of the slope angle per metre, 1/m; positive in a compression.</summary>
    public double VerticalCurvature(double distanceM) => At(verticalCurvature, distanceM);

    /// <summary>The distance within the lap, from 0 to the lap length.</summary>
    public double WithinLap(double distanceM) => distanceM - (LengthM * Math.Floor(distanceM / LengthM));

    private double At(double[] values, double distanceM)
    {
        (int i, int next, double share) = Place(distanceM);
        return values[i] + (share * (values[next] - values[i]));
    }

    private (int Index, int Next, double Share) Place(double distanceM)
    {
        double u = WithinLap(distanceM) / StepM;
        int i = Math.Min((int)u, Count - 1);
        return (i, i + 1 == Count ? 0 : i + 1, u - i);
    }

    // Each node stands for the half step on both sides of it: the heading then turns by exactly what the segments turn.
    private static double[] Raw(CircuitDefinition circuit, int count)
    {
        double lap = circuit.Segments.Sum(s => s.LengthM);
        double turn = circuit.Segments.Sum(s => s.TurnRad);
        double step = lap / count;
        double[] values = new double[count];
        double before = Turned(circuit, lap - (step / 2)) - turn;
        for (int i = 0; i < count; i++)
        {
            double after = Turned(circuit, (i + 0.5) * step);
            values[i] = (after - before) / step;
            before = after;
        }

        return values;
    }

    private static double Turned(CircuitDefinition circuit, double distance)
    {
        double turned = 0;
        foreach (CircuitSegment segment in circuit.Segments)
        {
            if (distance <= segment.LengthM)
            {
                return turned + (segment.Curvature * distance);
            }

            distance -= segment.LengthM;
            turned += segment.TurnRad;
        }

        return turned;
    }

    // A moving average, twice: curvature rises and falls smoothly, and its sum stays.
    private static double[] Smooth(double[] values, double step)
    {
        int half = Math.Max(1, (int)Math.Round(TransitionM / 4 / step));
        for (int pass = 0; pass < 2; pass++)
        {
            double[] smooth = new double[values.Length];
            for (int i = 0; i < values.Length; i++)
            {
                double sum = 0;
                for (int k = -half; k <= half; k++)
                {
                    sum += values[(i + k + values.Length) % values.Length];
                }

                smooth[i] = sum / ((2 * half) + 1);
            }

            values = smooth;
        }

        return values;
    }

    private (double[] Turned, double[] East, double[] North) Trace()
    {
        int count = curvature.Length;
        double sum = curvature.Sum() * StepM;

        // A circuit file may miss the full circle by a rounding of its angles; the rest is spread over the corners.
        double scale = turnPerLap / sum;
        double[] angle = new double[count];
        double[] x = new double[count];
        double[] y = new double[count];
        double endX = 0;
        double endY = 0;
        for (int i = 0; i < count; i++)
        {
            curvature[i] *= scale;
        }

        // The last corner's line runs out behind the start line; the start course is that of the straight after it.
        double heading = 0;
        for (int i = 0; i < (int)(TransitionM / StepM); i++)
        {
            heading -= (curvature[i] + curvature[i + 1]) / 2 * StepM;
        }

        for (int i = 0; i < count; i++)
        {
            angle[i] = heading;
            x[i] = endX;
            y[i] = endY;
            double step = (curvature[i] + curvature[(i + 1) % count]) / 2 * StepM;
            double middle = startCourseRad - (heading + (step / 2));
            endX += PortableMath.Sin(middle) * StepM;
            endY += PortableMath.Cos(middle) * StepM;
            heading += step;
        }

        for (int i = 0; i < count; i++)
        {
            // Smoothed corners end some metres off the start; the gap is spread evenly so that the positions close.
            x[i] -= endX * i / count;
            y[i] -= endY * i / count;
        }

        return (angle, x, y);
    }

    private (double[] Gradient, double[] Curvature) Slopes(CircuitDefinition circuit, int count)
    {
        double[] slope = new double[count];
        double[] bend = new double[count];
        var nodes = circuit.Slopes;
        if (nodes.IsDefaultOrEmpty)
        {
            return (slope, bend);
        }

        for (int i = 0; i < count; i++)
        {
            double distance = i * StepM;
            int after = 0;
            while (after < nodes.Length && nodes[after].DistanceM <= distance)
            {
                after++;
            }

            CircuitSlope from = after == 0 ? nodes[^1] with { DistanceM = nodes[^1].DistanceM - LengthM } : nodes[after - 1];
            CircuitSlope to = after == nodes.Length ? nodes[0] with { DistanceM = nodes[0].DistanceM + LengthM } : nodes[after];
            double span = to.DistanceM - from.DistanceM;
            double u = span > 0 ? (distance - from.DistanceM) / span : 1;
            slope[i] = from.Gradient + ((to.Gradient - from.Gradient) * u * u * (3 - (2 * u)));
            bend[i] = span > 0 ? (to.Gradient - from.Gradient) * 6 * u * (1 - u) / span : 0;
        }

        return (slope, bend);
    }
}
