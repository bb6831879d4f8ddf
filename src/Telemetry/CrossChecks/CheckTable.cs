using System.Collections.Immutable;
using Telemetry.Car;
using Telemetry.Runs;

namespace Telemetry.CrossChecks;

/// <summary>The comparisons as a person reads them: in N, mm and shares, with healthy sensors and the car file as what is expected.</summary>
internal static class CheckTable
{
    private static readonly string[] Pairs = ["front load cells", "rear load cells", "front dampers", "rear dampers"];

    private static readonly string[] MotionWords =
        ["at speed", "at 1 g to the left", "at 1 g of braking", "at 0.5 g of driving", "at 1 g more of vertical acceleration"];

    public static ImmutableArray<CrossCheck> Of(ResponseModel model, SingleStatements single, ExpectedResponses expected, CarDefinition car, CrossCheckOptions options)
    {
        ImmutableArray<CrossCheck>.Builder checks = ImmutableArray.CreateBuilder<CrossCheck>();
        MotionResponses responses = model.Responses;
        for (int pair = 0; pair < 4; pair++)
        {
            for (int m = 0; m < MotionResponses.Motions; m++)
            {
                AddSides(checks, model, pair, (Motion)m);
            }
        }

        AddBalance(checks, responses, expected, car, options);
        foreach (Axle axle in (Axle[])[Axle.Front, Axle.Rear])
        {
            AddSprings(checks, responses, expected, axle, options);
        }

        for (int i = 0; i < SingleStatements.Count; i++)
        {
            if (double.IsFinite(single.Measured[i]))
            {
                (string name, string unit) = Words((Single)i);
                checks.Add(new(name, unit, single.Measured[i], SingleStatements.Expected(i), single.Deviation[i]));
            }
        }

        return checks.ToImmutable();
    }

    /// <summary>What the log or the car file lacks, as sentences.</summary>
    public static ImmutableArray<string> LeftOut(Run run)
    {
        ImmutableArray<string>.Builder missing = ImmutableArray.CreateBuilder<string>();
        foreach ((Corner left, Corner right, string axle) in new[] { (Corner.FrontLeft, Corner.FrontRight, "front"), (Corner.RearLeft, Corner.RearRight, "rear") })
        {
            if (!run.Has(ChannelRoles.DamperTravel(left)) || !run.Has(ChannelRoles.DamperTravel(right)))
            {
                missing.Add($"The {axle} dampers are not both logged: their travel cannot be held against the loads.");
            }

            if (run.Car.Suspension[left.Axle()].SpringRateNpm is null)
            {
                missing.Add($"The car file gives no {axle} spring rate: load against travel is compared from side to side only.");
            }
        }

        foreach ((ChannelRole role, string text) in new[]
        {
            (ChannelRole.AccelerationX, "longitudinal acceleration: the speed is only held against the lap's length and positions"),
            (ChannelRole.AccelerationY, "lateral acceleration: the roll balance rests on the yaw rate, if there is one"),
            (ChannelRole.AccelerationZ, "vertical acceleration: the sum of the loads is not held against the weight"),
            (ChannelRole.YawRate, "yaw rate: the lateral acceleration is only held against loads and dampers"),
        })
        {
            if (!run.Has(role))
            {
                missing.Add($"The log has no {text}.");
            }
        }

        if (run.Car.LapLengthM is null && !run.Has(ChannelRole.PositionEast) && !run.Has(ChannelRole.LapDistance))
        {
            missing.Add("The car file gives no lap length and the log no position: a factor on the speed is only held against the longitudinal acceleration.");
        }

        return missing.ToImmutable();
    }

    private static void AddSides(ImmutableArray<CrossCheck>.Builder checks, ResponseModel model, int pair, Motion motion)
    {
        MotionResponses responses = model.Responses;
        int m = (int)motion;
        double left = responses.Value[2 * pair, m];
        double right = responses.Value[(2 * pair) + 1, m];
        if (!double.IsFinite(left + right))
        {
            return;
        }

        // Twice the half: right minus left for motions that press both sides alike, the sum for the one that does not.
        bool isOdd = motion == Motion.Lateral;
        double variance = isOdd ? responses.SumVariance[pair, m] : responses.DifferenceVariance[pair, m];
        double ofLeft = model.Allowance[(2 * pair * MotionResponses.Motions) + m];
        double ofRight = model.Allowance[(((2 * pair) + 1) * MotionResponses.Motions) + m];
        double unit = pair < 2 ? 1 : 1000;
        string name = isOdd ? $"left plus right of the {Pairs[pair]} {MotionWords[m]}" : $"right less left of the {Pairs[pair]} {MotionWords[m]}";
        checks.Add(new(
            name,
            pair < 2 ? "N" : "mm",
            unit * (isOdd ? right + left : right - left),
            0,
            unit * Math.Sqrt((4 * variance) + (ofLeft * ofLeft) + (ofRight * ofRight))));
    }

    private static void AddBalance(ImmutableArray<CrossCheck>.Builder checks, MotionResponses responses, ExpectedResponses expected, CarDefinition car, CrossCheckOptions options)
    {
        double[,] value = responses.Value;
        double trackFront = car.Geometry.TrackM.Front;
        double trackRear = car.Geometry.TrackM.Rear;
        double moment = ((trackFront * (value[1, 1] - value[0, 1])) + (trackRear * (value[3, 1] - value[2, 1]))) / 2;
        double variance = (trackFront * trackFront * responses.DifferenceVariance[0, 1]) + (trackRear * trackRear * responses.DifferenceVariance[1, 1]);
        Add("roll moment on the load cells at 1 g to the left", "N m", moment, expected.RollMomentNm, variance, expected.RollMomentShare * expected.RollMomentNm);
        double front = trackFront * (value[1, 1] - value[0, 1]) / 2;
        Add("front share of the roll moment", "-", front / moment, expected.RollSplit, 0, expected.RollSplitDeviation);
        for (int axle = 0; axle < 2; axle++)
        {
            string name = axle == 0 ? "front" : "rear";
            Pair($"{name} load transfer on the load cells {MotionWords[2]}", axle, Motion.Braking, expected.BrakingN[(Axle)axle], options.BrakingShare);
            Pair($"{name} load transfer on the load cells {MotionWords[3]}", axle, Motion.Driving, expected.DrivingN[(Axle)axle], options.DrivingShare);
        }

        double sum = value[0, 4] + value[1, 4] + value[2, 4] + value[3, 4];
        double mass = 2 * (expected.VerticalN.Front + expected.VerticalN.Rear);
        Add("sum of the four wheel loads at 1 g more of vertical acceleration", "N", sum, mass, 4 * (responses.SumVariance[0, 4] + responses.SumVariance[1, 4]), options.VerticalShare * mass);

        void Pair(string name, int axle, Motion motion, double expectedN, double share)
        {
            int m = (int)motion;
            Add(name, "N", value[2 * axle, m] + value[(2 * axle) + 1, m], 2 * expectedN, 4 * responses.SumVariance[axle, m], share * 2 * Math.Abs(expectedN));
        }

        void Add(string name, string unit, double measured, double should, double ofScatter, double allowance)
        {
            if (double.IsFinite(measured) && double.IsFinite(ofScatter))
            {
                checks.Add(new(name, unit, measured, should, Math.Sqrt(ofScatter + (allowance * allowance))));
            }
        }
    }

    /// <summary>Wheel rate in roll and in heave: load over travel, from the responses, in N/mm.</summary>
    private static void AddSprings(ImmutableArray<CrossCheck>.Builder checks, MotionResponses responses, ExpectedResponses expected, Axle axle, CrossCheckOptions options)
    {
        int cells = (int)axle;
        int dampers = 2 + (int)axle;
        string name = axle == Axle.Front ? "front" : "rear";
        Rate($"{name} wheel rate in roll", Motion.Lateral, _ => expected.RollCompliance[axle], options.ComplianceShare);
        Rate($"{name} wheel rate in heave, up to the load at speed", Motion.Speed, load => expected.HeaveCompliance(axle, load), 2 * options.ComplianceShare);

        void Rate(string what, Motion motion, Func<double, double?> compliance, double share)
        {
            int m = (int)motion;
            bool isRoll = motion == Motion.Lateral;
            double load = Half(cells);
            double travel = Half(dampers);
            if (!double.IsFinite(load + travel) || !(Math.Abs(travel) > 0) || compliance(load) is not { } perN)
            {
                return;
            }

            double rate = load / travel;
            double ofLoad = (isRoll ? responses.DifferenceVariance : responses.SumVariance)[cells, m] / (load * load);
            double ofTravel = (isRoll ? responses.DifferenceVariance : responses.SumVariance)[dampers, m] / (travel * travel);
            double should = 1 / perN;
            checks.Add(new(what, "N/mm", rate / 1000, should / 1000, Math.Sqrt((rate * rate * (ofLoad + ofTravel)) + (share * share * should * should)) / 1000));

            double Half(int pair) => (responses.Value[(2 * pair) + 1, m] + (responses.Value[2 * pair, m] * (isRoll ? -1 : 1))) / 2;
        }
    }

    private static (string Name, string Unit) Words(Single statement) => statement switch
    {
        Single.ZeroFL => ("zero of load cell FL", "N"),
        Single.ZeroFR => ("zero of load cell FR", "N"),
        Single.ZeroRL => ("zero of load cell RL", "N"),
        Single.ZeroRR => ("zero of load cell RR", "N"),
        Single.LongitudinalPerSpeedChange => ("longitudinal acceleration over the change of speed", "-"),
        Single.LongitudinalPerTurning => ("longitudinal acceleration over speed times yaw rate", "-"),
        Single.LateralPerSpeedChange => ("lateral acceleration over the change of speed", "-"),
        Single.LateralPerTurning => ("lateral acceleration over speed times yaw rate", "-"),
        Single.LapLength => ("integrated speed over the lap's length", "-"),
        Single.LapDistance => ("integrated speed over the logged lap distance", "-"),
        Single.Position => ("integrated speed over the way along the positions", "-"),
        Single.WheelSpeed => ("wheel speed over road speed", "-"),
        Single.StandingLongitudinal => ("longitudinal acceleration at standstill", "m/s2"),
        Single.StandingLateral => ("lateral acceleration at standstill", "m/s2"),
        Single.StandingVertical => ("vertical acceleration at standstill less g", "m/s2"),
        Single.LapLongitudinal => ("longitudinal acceleration over whole laps", "m/s2"),
        _ => ("lateral acceleration without turning", "m/s2"),
    };
}
