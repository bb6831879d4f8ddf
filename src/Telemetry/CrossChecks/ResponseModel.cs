using Telemetry.Car;

namespace Telemetry.CrossChecks;

/// <summary>The healthy car as a linear model: which responses the eight sensors may have, up to numbers that are free within what the car file says.</summary>
/// <remarks>
/// Mirror symmetry is what it rests on: both sides of an axle answer alike to speed, braking, driving and vertical acceleration, and oppositely to lateral
/// acceleration. Free are the answers of each axle; the car file binds them to each other and to masses and heights, each with its allowance.
/// </remarks>
internal sealed class ResponseModel
{
    /// <summary>Free numbers: cells and dampers of two axles times five motions, and the twist that springs unlike each other make under the even motions.</summary>
    public const int FreeNumbers = 24;

    private const int Sensors = MotionResponses.Sensors;
    private const int Motions = MotionResponses.Motions;
    private static readonly Motion[] Even = [Motion.Speed, Motion.Braking, Motion.Driving, Motion.Vertical];

    private readonly double[] twistAtRear;

    private ResponseModel(MotionResponses responses, double[] twistAtRear)
    {
        Responses = responses;
        this.twistAtRear = twistAtRear;
    }

    public MotionResponses Responses { get; }

    /// <summary>Allowance of each sensor and motion, one standard deviation; sensor times five plus motion.</summary>
    public double[] Allowance { get; } = new double[Sensors * Motions];

    /// <summary>Typical size of a response of cells (0) and dampers (1) to each motion.</summary>
    public double[,] Scale { get; } = new double[2, Motions];

    /// <summary>What binds the free numbers, each as weights, target and standard deviation.</summary>
    public List<(double[] Weights, double Target, double Deviation)> Bonds { get; } = [];

    public static ResponseModel Of(MotionResponses responses, ExpectedResponses expected, CarDefinition car, CrossCheckOptions options)
    {
        double twist = car.Geometry.TrackM.Front / car.Geometry.TrackM.Rear;
        ResponseModel model = new(responses, [-1, 1, twist, -twist]);
        model.SetScales(car, options);
        model.Bind(expected, car, options);
        return model;
    }

    /// <summary>Place of the answer of an axle's cells or dampers to a motion among the free numbers.</summary>
    public static int Free(bool isDamper, Axle axle, Motion motion) => (isDamper ? 10 : 0) + ((int)axle * Motions) + (int)motion;

    /// <summary>What one free number adds to each sensor's response.</summary>
    public void Column(int free, Span<double> response)
    {
        response.Clear();
        if (free >= 20)
        {
            int motion = (int)Even[free - 20];
            for (int s = 0; s < 4; s++)
            {
                response[(s * Motions) + motion] = twistAtRear[s];
            }

            return;
        }

        int sensor = free / 10 * 4 + (free % 10 / Motions * 2);
        int m = free % Motions;
        response[(sensor * Motions) + m] = (Motion)m == Motion.Lateral ? -1 : 1;
        response[((sensor + 1) * Motions) + m] = 1;
    }

    /// <summary>True when the log has a response for a free number.</summary>
    public bool IsMeasured(int free) => free >= 20 || double.IsFinite(Responses.Value[(free / 10 * 4) + (free % 10 / Motions * 2), free % Motions]);

    private void SetScales(CarDefinition car, CrossCheckOptions options)
    {
        for (int kind = 0; kind < 2; kind++)
        {
            double largest = 0;
            for (int m = 0; m < Motions; m++)
            {
                double[] sizes = [.. Enumerable.Range(4 * kind, 4).Select(s => Math.Abs(Responses.Value[s, m])).Where(double.IsFinite).Order()];

                // Of four the mean of the middle two: one sensor in another unit does not move it.
                Scale[kind, m] = sizes.Length == 0 ? 0 : (sizes[(sizes.Length - 1) / 2] + sizes[sizes.Length / 2]) / 2;
                largest = (Motion)m == Motion.Vertical ? largest : Math.Max(largest, Scale[kind, m]);
            }

            for (int s = 4 * kind; s < 4 * (kind + 1); s++)
            {
                double gain = car.Mapping(ChannelRole.PushrodLoadFL + s)?.GainUncertainty ?? 0;
                for (int m = 0; m < Motions; m++)
                {
                    // Vertical acceleration is the road's: its answers are those of a body in motion, alike on both sides only on average.
                    double asymmetry = (Motion)m == Motion.Vertical ? (kind == 0 ? 0.1 : 0.3) : kind == 0 ? options.LoadAsymmetry : options.TravelAsymmetry;
                    Allowance[(s * Motions) + m] = double.Hypot(double.Hypot(asymmetry, gain) * Scale[kind, m], options.Leakage * largest);
                }
            }
        }
    }

    private void Bind(ExpectedResponses expected, CarDefinition car, CrossCheckOptions options)
    {
        // A free number that nothing else binds stays near nothing, within a hundred times its size: so that the equations have an answer.
        for (int free = 0; free < FreeNumbers; free++)
        {
            int kind = free is >= 10 and < 20 ? 1 : 0;
            int motion = free >= 20 ? (int)Even[free - 20] : free % Motions;
            double scale = Math.Max(Scale[kind, motion], 1e-9);
            Add(free >= 20 ? options.LoadAsymmetry * scale : 100 * scale, 0, (free, 1));
        }

        PerAxle<double> track = car.Geometry.TrackM;
        int front = Free(false, Axle.Front, Motion.Lateral);
        int rear = Free(false, Axle.Rear, Motion.Lateral);
        double moment = expected.RollMomentNm;
        Bond(expected.RollMomentShare * moment, moment, (front, track.Front), (rear, track.Rear));
        Bond(expected.RollSplitDeviation * moment, 0, (front, (1 - expected.RollSplit) * track.Front), (rear, -expected.RollSplit * track.Rear));
        double vertical = expected.VerticalN.Front + expected.VerticalN.Rear;
        Bond(options.VerticalShare * vertical, vertical, (Free(false, Axle.Front, Motion.Vertical), 1), (Free(false, Axle.Rear, Motion.Vertical), 1));
        foreach (Axle axle in (Axle[])[Axle.Front, Axle.Rear])
        {
            // Links that carry all of the transfer leave the springs none, and still a twentieth of the axle's weight in doubt.
            double least = 0.05 * expected.VerticalN[axle];
            Bond(options.BrakingShare * Math.Max(least, Math.Abs(expected.BrakingN[axle])), expected.BrakingN[axle], (Free(false, axle, Motion.Braking), 1));
            Bond(options.DrivingShare * Math.Max(least, Math.Abs(expected.DrivingN[axle])), expected.DrivingN[axle], (Free(false, axle, Motion.Driving), 1));
            Bond(0.3 * expected.VerticalN[axle], expected.VerticalN[axle], (Free(false, axle, Motion.Vertical), 1));
            BindTravel(axle, expected, options);
        }
    }

    /// <summary>Travel is load times the compliance of springs, bar and third element; each with an allowance for the rate and for its curve.</summary>
    private void BindTravel(Axle axle, ExpectedResponses expected, CrossCheckOptions options)
    {
        double loadN = Scale[0, (int)Motion.Speed];
        foreach ((Motion motion, double? compliance, double share) in new[]
        {
            (Motion.Lateral, expected.RollCompliance[axle], options.ComplianceShare),
            (Motion.Speed, expected.HeaveCompliance(axle, loadN), 2 * options.ComplianceShare),
            (Motion.Braking, expected.HeaveCompliance(axle, loadN / 2), 3 * options.ComplianceShare),
            (Motion.Driving, expected.HeaveCompliance(axle, loadN / 2), 4 * options.ComplianceShare),
        })
        {
            if (compliance is { } perN)
            {

                // Cells in another unit would make the bond as tight as they are small: never tighter than for half the load that 1 g moves.
                double scale = Math.Max(Scale[0, (int)motion], expected.RollMomentNm / 6);
                Bond(share * perN * scale, 0, (Free(true, axle, motion), 1), (Free(false, axle, motion), -perN));
            }
        }
    }

    /// <summary>Adds a bond, unless the log says nothing of a number in it.</summary>
    private void Bond(double deviation, double target, params ReadOnlySpan<(int Free, double Weight)> terms)
    {
        foreach ((int free, _) in terms)
        {
            if (!IsMeasured(free))
            {
                return;
            }
        }

        Add(deviation, target, terms);
    }

    private void Add(double deviation, double target, params ReadOnlySpan<(int Free, double Weight)> terms)
    {
        double[] weights = new double[FreeNumbers];
        foreach ((int free, double weight) in terms)
        {
            weights[free] += weight;
        }

        Bonds.Add((weights, target, deviation));
    }
}
