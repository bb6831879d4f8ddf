namespace Telemetry.Simulation;

/// <summary>The equations of motion of body and wheels; see README.md in this folder for their derivation.</summary>
internal sealed class VehicleDynamics
{
    private readonly Vehicle vehicle;
    private readonly AxleModel front;
    private readonly AxleModel rear;
    private readonly double halfFront;
    private readonly double halfRear;
    private readonly double centreLeft;
    private readonly double a;
    private readonly double b;

    public VehicleDynamics(Vehicle vehicle)
    {
        this.vehicle = vehicle;
        front = vehicle.Front;
        rear = vehicle.Rear;
        halfFront = vehicle.TrackM.Front / 2;
        halfRear = vehicle.TrackM.Rear / 2;
        centreLeft = vehicle.CentreLeftM;
        a = vehicle.FrontArmM;
        b = vehicle.RearArmM;
    }

    /// <summary>Loads and travels at the last call of <see cref="Rates"/>.</summary>
    public Forces Now { get; } = new();

    /// <summary>Friction of each corner's joints, N at the wheel, beside the pushrod; held during a step.</summary>
    public double[] JointFrictionN { get; } = new double[4];

    /// <summary>Friction of each corner's damper and rocker, N at the damper, felt by the pushrod; held during a step.</summary>
    public double[] RockerFrictionN { get; } = new double[4];

    /// <summary>Rates of change of positions and speeds.</summary>
    public void Rates(in Push push, ReadOnlySpan<double> state, Span<double> rates)
    {
        double heave = state[0];
        double pitch = state[1];
        double roll = state[2];
        double heaveSpeed = state[7];
        double pitchSpeed = state[8];
        double rollSpeed = state[9];
        double sprungKg = push.MassKg - vehicle.TotalUnsprungKg;
        double leftFront = halfFront - centreLeft;
        double rightFront = -halfFront - centreLeft;
        double leftRear = halfRear - centreLeft;
        double rightRear = -halfRear - centreLeft;
        double noseHeave = heave - (a * pitch);
        double noseSpeed = heaveSpeed - (a * pitchSpeed);
        double tailHeave = heave + (b * pitch);
        double tailSpeed = heaveSpeed + (b * pitchSpeed);

        Axle(front, 0,
            state[3] - noseHeave - (leftFront * roll), state[4] - noseHeave - (rightFront * roll),
            state[10] - noseSpeed - (leftFront * rollSpeed), state[11] - noseSpeed - (rightFront * rollSpeed),
            out double fl, out double fr);
        Axle(rear, 2,
            state[5] - tailHeave - (leftRear * roll), state[6] - tailHeave - (rightRear * roll),
            state[12] - tailSpeed - (leftRear * rollSpeed), state[13] - tailSpeed - (rightRear * rollSpeed),
            out double rl, out double rr);

        // Aero load against the ride heights over the road that the floor sees.
        double middleRoll = centreLeft * roll;
        double frontChange = noseHeave - middleRoll - push.FloorFront;
        double rearChange = tailHeave - middleRoll - push.FloorRear;
        AeroDefinition aero = vehicle.Aero;
        double frontHeight = vehicle.RideHeightM.Front + frontChange;
        double rearHeight = vehicle.RideHeightM.Rear + rearChange;
        double fromFront = frontHeight - aero.ReferenceRideHeightM.Front;
        double fromRear = rearHeight - aero.ReferenceRideHeightM.Rear;
        double frontAero = push.DynamicPressurePa * aero.Front.At(fromFront, fromRear);
        double rearAero = push.DynamicPressurePa * aero.Rear.At(fromFront, fromRear);
        double drag = push.DynamicPressurePa * aero.DragAreaM2;

        // The links' vertical share of what the tyres push along the road: up at the rear when driving, up at the front when braking.
        double transfer = push.ThrustN * vehicle.HeightM / vehicle.WheelbaseM;
        bool drives = push.ThrustN >= 0;
        double frontLinks = -(drives ? front.ShareDriving : front.ShareBraking) * transfer;
        double rearLinks = (drives ? rear.ShareDriving : rear.ShareBraking) * transfer;

        double frontBody = fl + fr + frontLinks;
        double rearBody = rl + rr + rearLinks;
        if (vehicle.Plank is { } plank)
        {
            // The floor's mean road moves slowly against the plank's squeeze: its own rate is left out of the damping.
            Now.FrontPlankN = plank.ForceN(plank.FrontClearanceM, frontHeight, noseSpeed - (centreLeft * rollSpeed));
            Now.RearPlankN = plank.ForceN(plank.RearClearanceM, rearHeight, tailSpeed - (centreLeft * rollSpeed));
            frontBody += Now.FrontPlankN;
            rearBody += Now.RearPlankN;
        }

        rates[7] = ((frontBody + rearBody - frontAero - rearAero + push.HandsN) / sprungKg) - push.VerticalMps2;
        rates[8] = ((-a * (frontBody - frontAero)) + (b * (rearBody - rearAero))
            - (push.MassKg * push.LongitudinalMps2 * vehicle.HeightM) - (drag * aero.DragHeightM) + push.HandsPitchNm) / vehicle.PitchInertia;

        double frontSprungY = sprungKg * b / vehicle.WheelbaseM * push.LateralMps2;
        double rearSprungY = sprungKg * a / vehicle.WheelbaseM * push.LateralMps2;
        rates[9] = ((fl * leftFront) + (fr * rightFront) + (rl * leftRear) + (rr * rightRear)
            + ((frontAero + rearAero - frontLinks - rearLinks) * centreLeft)
            + (frontSprungY * (vehicle.SprungHeightM - vehicle.RollCentreM.Front))
            + (rearSprungY * (vehicle.SprungHeightM - vehicle.RollCentreM.Rear)) + push.HandsRollNm) / vehicle.RollInertia;

        // What goes round the springs from one wheel to the other: roll centre and the unsprung mass's own couple.
        double frontAcross = ((frontSprungY * vehicle.RollCentreM.Front) + (vehicle.UnsprungKg.Front * push.LateralMps2 * vehicle.UnsprungCentreM.Front)) / vehicle.TrackM.Front;
        double rearAcross = ((rearSprungY * vehicle.RollCentreM.Rear) + (vehicle.UnsprungKg.Rear * push.LateralMps2 * vehicle.UnsprungCentreM.Rear)) / vehicle.TrackM.Rear;
        double g = push.VerticalMps2;
        rates[10] = Wheel(front, 0, front.LeftTyreN, push.RoadFL - state[3], push.RateFL - state[10], fl + (frontLinks / 2) - frontAcross, g);
        rates[11] = Wheel(front, 1, front.RightTyreN, push.RoadFR - state[4], push.RateFR - state[11], fr + (frontLinks / 2) + frontAcross, g);
        rates[12] = Wheel(rear, 2, rear.LeftTyreN, push.RoadRL - state[5], push.RateRL - state[12], rl + (rearLinks / 2) - rearAcross, g);
        rates[13] = Wheel(rear, 3, rear.RightTyreN, push.RoadRR - state[6], push.RateRR - state[13], rr + (rearLinks / 2) + rearAcross, g);
        state.Slice(Motion.Degrees, Motion.Degrees).CopyTo(rates);
        Now.FrontAeroN = frontAero;
        Now.RearAeroN = rearAero;
        Now.FrontHeightM = frontHeight;
        Now.RearHeightM = rearHeight;
    }

    /// <summary>Lets the friction follow the movement of one step (elastic before it slips, then constant: Dahl's model, first order).</summary>
    /// <param name="before">State at the start of the step.</param>
    /// <param name="after">State at its end.</param>
    public void Drag(ReadOnlySpan<double> before, ReadOnlySpan<double> after)
    {
        for (int corner = 0; corner < 4; corner++)
        {
            AxleModel axle = corner < 2 ? front : rear;
            double arm = corner < 2 ? -a : b;
            double side = (corner < 2 ? halfFront : halfRear) * (corner % 2 == 0 ? 1 : -1);
            side -= centreLeft;
            double moved = after[3 + corner] - before[3 + corner] - (after[0] - before[0]) - (arm * (after[1] - before[1])) - (side * (after[2] - before[2]));
            JointFrictionN[corner] = Slip(JointFrictionN[corner], axle.Hardware.JointFrictionN, moved);
            RockerFrictionN[corner] = Slip(RockerFrictionN[corner], axle.Hardware.RockerFrictionN, moved * Now.DamperRatio[corner]);
        }
    }

    // Travel over which the joints wind up before they slip.
    private const double WindUpM = 1e-4;

    private static double Slip(double force, double limit, double moved) =>
        limit <= 0 ? 0 : (force + (limit * moved / WindUpM)) / (1 + (Math.Abs(moved) / WindUpM));

    // Vertical forces of one axle's corners on the body: pushrod part and joint friction.
    private void Axle(AxleModel axle, int first, double leftTravel, double rightTravel, double leftSpeed, double rightSpeed, out double left, out double right)
    {
        axle.Look(leftTravel, out double leftDamper, out double leftRatio, out double leftInstallation);
        axle.Look(rightTravel, out double rightDamper, out double rightRatio, out double rightInstallation);
        double third = axle.ThirdN((leftDamper + rightDamper) / 2) / 2;
        double bar = axle.BarNpm * (leftTravel - rightTravel) / 2;
        DamperDefinition damper = axle.Hardware.Damper;
        double leftForce = axle.LeftPreloadN + axle.SpringN(leftDamper) + damper.ForceN(leftRatio * leftSpeed) + third + RockerFrictionN[first];
        double rightForce = axle.RightPreloadN + axle.SpringN(rightDamper) + damper.ForceN(rightRatio * rightSpeed) + third + RockerFrictionN[first + 1];
        double leftWheel = (leftRatio * leftForce) + bar;
        double rightWheel = (rightRatio * rightForce) - bar;
        Forces now = Now;
        now.WheelN[first] = leftWheel;
        now.WheelN[first + 1] = rightWheel;
        now.PushrodN[first] = leftWheel / leftInstallation;
        now.PushrodN[first + 1] = rightWheel / rightInstallation;
        now.TravelM[first] = leftDamper;
        now.TravelM[first + 1] = rightDamper;
        now.DamperRatio[first] = leftRatio;
        now.DamperRatio[first + 1] = rightRatio;
        left = leftWheel + JointFrictionN[first];
        right = rightWheel + JointFrictionN[first + 1];
    }

    private double Wheel(AxleModel axle, int corner, double staticN, double squeeze, double squeezeSpeed, double downN, double g)
    {
        // A tyre does not pull on the road.
        double contact = Math.Max(0, staticN + (axle.TyreNpm * squeeze) + (axle.TyreNspm * squeezeSpeed));
        Now.ContactN[corner] = contact;
        return ((contact - downN) / axle.WheelKg) - g;
    }
}
