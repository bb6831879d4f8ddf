using System.Collections.Immutable;
using Telemetry.Car;

namespace Telemetry.CrossChecks;

/// <summary>One way in which sensors can have changed their numbers: what it does to responses and to single statements.</summary>
internal abstract class SensorFault
{
    protected const int Motions = MotionResponses.Motions;

    /// <summary>Channels that it calls wrong.</summary>
    public required ImmutableArray<ChannelRole> Roles { get; init; }

    /// <summary>What it is about, in words: "load cell FL".</summary>
    public required string Subject { get; init; }

    public abstract FaultKind Kind { get; }

    /// <summary>True when a size belongs to it.</summary>
    public virtual bool HasSize => Kind != FaultKind.Exchange;

    /// <summary>The size that changes nothing.</summary>
    public virtual double Neutral => Kind == FaultKind.Gain ? 1 : 0;

    /// <summary>True when the responses under it are anything, so that they speak neither for nor against it.</summary>
    public virtual bool FreesResponses => false;

    /// <summary>False when it changes all that a typical size is taken from, so that the allowances, which follow that size, are changed already.</summary>
    public virtual bool MovesAllowance => true;

    /// <summary>Changes true responses (or their standard deviations, when all are positive and only sizes matter) into what is read.</summary>
    public virtual void Apply(Span<double> responses, double size)
    {
    }

    /// <summary>Changes what the single statements give.</summary>
    public virtual void ApplySingle(Span<double> single, double size)
    {
    }

    /// <summary>A size to begin the search with.</summary>
    public virtual double Start(FaultContext context) => Neutral;
}

/// <summary>What a fault needs to know of the run.</summary>
internal sealed record FaultContext(MotionResponses Responses, ExpectedResponses Expected, SingleStatements Single, double[] StaticN, PerAxle<double> Ratio, PerAxle<double> DamperRatio);

/// <summary>A factor on the readings of some load cells or dampers.</summary>
internal sealed class SensorGain(ImmutableArray<int> sensors, FaultContext run) : SensorFault
{
    public override FaultKind Kind => FaultKind.Gain;

    public override bool MovesAllowance => sensors.Length == 1;

    public override void Apply(Span<double> responses, double size)
    {
        foreach (int s in sensors)
        {
            for (int m = 0; m < Motions; m++)
            {
                responses[(s * Motions) + m] *= size;
            }
        }
    }

    public override void ApplySingle(Span<double> single, double size)
    {
        foreach (int s in sensors)
        {
            if (s < 4)
            {
                single[s] += (size - 1) * run.StaticN[s];
            }
        }
    }

    /// <summary>For one sensor its responses over its mirror image's; for all four what the car file expects.</summary>
    public override double Start(FaultContext context)
    {
        double products = 0;
        double squares = 0;
        foreach (int s in sensors)
        {
            for (int m = 0; m < Motions - 1; m++)
            {
                double own = context.Responses.Value[s, m];
                double other = sensors.Length == 1
                    ? context.Responses.Value[s ^ 1, m] * ((Motion)m == Motion.Lateral ? -1 : 1)
                    : Expected(context, s, (Motion)m);
                if (double.IsFinite(own + other))
                {
                    products += own * other;
                    squares += other * other;
                }
            }
        }

        return squares > 0 ? products / squares : 1;
    }

    private static double Expected(FaultContext context, int sensor, Motion motion)
    {
        Axle axle = sensor % 4 < 2 ? Axle.Front : Axle.Rear;
        double load = motion switch
        {
            Motion.Lateral => context.Expected.RollMomentNm / 3 * (sensor % 2 == 0 ? -1 : 1),
            Motion.Braking => context.Expected.BrakingN[axle],
            _ => double.NaN,
        };
        return sensor < 4 ? load : load * (motion == Motion.Lateral ? context.Expected.RollCompliance[axle] ?? 5e-6 : context.Expected.HeaveCompliance(axle, load) ?? 5e-6);
    }
}

/// <summary>A factor on an accelerometer; a reversed one makes braking of driving.</summary>
internal sealed class AccelerationGain(bool x, bool y, bool z, bool responsesMove) : SensorFault
{
    public override FaultKind Kind => FaultKind.Gain;

    public override bool MovesAllowance => false;

    public override void Apply(Span<double> responses, double size)
    {
        if (!responsesMove || size == 0)
        {
            return;
        }

        for (int s = 0; s < MotionResponses.Sensors; s++)
        {
            Span<double> own = responses.Slice(s * Motions, Motions);
            if (y)
            {
                own[(int)Motion.Lateral] /= size;
            }

            if (z)
            {
                own[(int)Motion.Vertical] /= size;
            }

            if (x)
            {
                double braking = own[(int)Motion.Braking];
                double driving = own[(int)Motion.Driving];
                own[(int)Motion.Braking] = size > 0 ? braking / size : -2 * driving / size;
                own[(int)Motion.Driving] = size > 0 ? driving / size : -braking / (2 * size);
            }
        }
    }

    public override void ApplySingle(Span<double> single, double size)
    {
        if (x)
        {
            Scale(single, size, Single.LongitudinalPerSpeedChange, Single.LongitudinalPerTurning, Single.StandingLongitudinal, Single.LapLongitudinal);
        }

        if (y)
        {
            Scale(single, size, Single.LateralPerSpeedChange, Single.LateralPerTurning, Single.StandingLateral, Single.StraightLateral);
        }

        if (z)
        {
            single[(int)Single.StandingVertical] = (size * (StandardGravity.Mps2 + single[(int)Single.StandingVertical])) - StandardGravity.Mps2;
        }
    }

    public override double Start(FaultContext context)
    {
        double[] measured = context.Single.Measured;
        double direct = x ? measured[(int)Single.LongitudinalPerSpeedChange]
            : y ? measured[(int)Single.LateralPerTurning]
            : 1 + (measured[(int)Single.StandingVertical] / StandardGravity.Mps2);
        if (y && !double.IsFinite(direct))
        {
            // Without a yaw rate the cells tell: less answer for 1 g means that 1 g was less.
            double moment = 0;
            for (int s = 0; s < 4; s++)
            {
                moment += context.Responses.Value[s, (int)Motion.Lateral] * (s % 2 == 0 ? -0.75 : 0.75);
            }

            direct = context.Expected.RollMomentNm / moment;
        }

        return double.IsFinite(direct) && direct != 0 ? direct : 1;
    }

    private static void Scale(Span<double> single, double size, params ReadOnlySpan<Single> statements)
    {
        foreach (Single statement in statements)
        {
            single[(int)statement] *= size;
        }
    }
}

/// <summary>A factor on speed, or on the yaw rate.</summary>
internal sealed class MovementGain(bool isYaw) : SensorFault
{
    public override FaultKind Kind => FaultKind.Gain;

    public override void ApplySingle(Span<double> single, double size)
    {
        double inverse = size == 0 ? 0 : 1 / size;
        single[(int)Single.LongitudinalPerTurning] *= inverse;
        single[(int)Single.LateralPerTurning] *= inverse;
        if (!isYaw)
        {
            single[(int)Single.LongitudinalPerSpeedChange] *= inverse;
            single[(int)Single.LateralPerSpeedChange] *= inverse;
            single[(int)Single.WheelSpeed] *= inverse;
            single[(int)Single.LapLength] *= size;
            single[(int)Single.Position] *= size;
            single[(int)Single.LapDistance] *= size;
        }
    }

    public override double Start(FaultContext context)
    {
        double perTurning = 1 / context.Single.Measured[(int)Single.LateralPerTurning];
        double lap = context.Single.Measured[(int)Single.LapLength];
        lap = double.IsFinite(lap) ? lap : context.Single.Measured[(int)Single.LapDistance];
        double start = isYaw ? perTurning : double.IsFinite(lap) ? lap : 1 / context.Single.Measured[(int)Single.LongitudinalPerSpeedChange];
        return double.IsFinite(start) && start != 0 ? start : 1;
    }
}

/// <summary>A constant on single statements: a cell's zero, a tilted accelerometer.</summary>
internal sealed class SingleOffset(params Single[] statements) : SensorFault
{
    public override FaultKind Kind => FaultKind.Offset;

    public override void ApplySingle(Span<double> single, double size)
    {
        foreach (Single statement in statements)
        {
            single[(int)statement] += size;
        }
    }
}

/// <summary>Pairs of load cells or dampers whose channels are exchanged.</summary>
internal sealed class SensorExchange(ImmutableArray<(int A, int B)> pairs, FaultContext run) : SensorFault
{
    public override FaultKind Kind => FaultKind.Exchange;

    public override void Apply(Span<double> responses, double size)
    {
        foreach ((int a, int b) in pairs)
        {
            // Readings change places; the factors that bring them to the wheel do not.
            double toA = Factor(a) / Factor(b);
            for (int m = 0; m < Motions; m++)
            {
                double atA = responses[(a * Motions) + m];
                responses[(a * Motions) + m] = toA * responses[(b * Motions) + m];
                responses[(b * Motions) + m] = atA / toA;
            }
        }
    }

    public override void ApplySingle(Span<double> single, double size)
    {
        foreach ((int a, int b) in pairs)
        {
            if (a < 4)
            {
                double difference = run.StaticN[b] - run.StaticN[a];
                (single[a], single[b]) = (single[b] + difference, single[a] - difference);
            }
        }
    }

    private double Factor(int sensor)
    {
        Axle axle = sensor % 4 < 2 ? Axle.Front : Axle.Rear;
        return sensor < 4 ? run.Ratio[axle] : 1 / run.DamperRatio[axle];
    }
}

/// <summary>Longitudinal and lateral accelerometer exchanged: responses were then taken to the wrong motions and tell nothing.</summary>
internal sealed class AxisExchange : SensorFault
{
    public override FaultKind Kind => FaultKind.Exchange;

    public override bool FreesResponses => true;

    public override void ApplySingle(Span<double> single, double size)
    {
        Swap(single, Single.LongitudinalPerSpeedChange, Single.LateralPerSpeedChange);
        Swap(single, Single.LongitudinalPerTurning, Single.LateralPerTurning);
        Swap(single, Single.StandingLongitudinal, Single.StandingLateral);
        Swap(single, Single.LapLongitudinal, Single.StraightLateral);
    }

    private static void Swap(Span<double> single, Single a, Single b) =>
        (single[(int)a], single[(int)b]) = (single[(int)b], single[(int)a]);
}
