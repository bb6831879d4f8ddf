using Telemetry.Car;

namespace Telemetry.Simulation;

/// <summary>Springs, damper, bar, third element, ratios and tyre of one axle, ready for the solver.</summary>
internal sealed class AxleModel
{
    private const int Nodes = 2048;

    // A constant ratio holds over this much wheel travel each way; a table over its own length.
    private const double FreeTravelM = 0.2;

    // A damper that is fully out or on its packer yields like its steel and joints.
    private const double StopNpm = 1.5e6;

    private readonly double[] table;
    private readonly double lowest;
    private readonly double perMetre;
    private readonly double droopStop;
    private readonly double bumpStop;
    private readonly double[] rubberAt;
    private readonly double[] rubberN;

    public AxleModel(AxleSuspension axle, AxleHardware hardware, double unsprungKg, double leftSprungN, double rightSprungN)
    {
        SpringNpm = axle.SpringRateNpm!.Value;
        BarNpm = axle.AntiRollBarRateNpm ?? 0;
        TyreNpm = axle.TyreRateNpm!.Value;
        TyreNspm = hardware.TyreDampingNspm;
        Hardware = hardware;
        Third = axle.Third;
        droopStop = -(hardware.DroopStopM ?? double.PositiveInfinity);
        bumpStop = hardware.BumpStopM ?? double.PositiveInfinity;
        ShareBraking = axle.LinkageShareBraking;
        ShareDriving = axle.LinkageShareDriving;
        WheelKg = unsprungKg / 2;
        (table, lowest, perMetre) = Curves(axle, hardware);
        rubberAt = Third is null || Third.Rubber.IsDefault ? [] : [.. Third.Rubber.Select(p => p.CompressionM)];
        rubberN = Third is null || Third.Rubber.IsDefault ? [] : [.. Third.Rubber.Select(p => p.ForceN)];

        // The corner springs carry at rest what a preloaded third element does not.
        Look(0, out _, out double damperRatio, out _);
        double third = ThirdN(0) / 2;
        LeftPreloadN = (leftSprungN / damperRatio) - third;
        RightPreloadN = (rightSprungN / damperRatio) - third;
        LeftTyreN = leftSprungN + (WheelKg * Vehicle.GravityMps2);
        RightTyreN = rightSprungN + (WheelKg * Vehicle.GravityMps2);
    }

    public double SpringNpm { get; }

    public double BarNpm { get; }

    public double TyreNpm { get; }

    public double TyreNspm { get; }

    public double WheelKg { get; }

    public AxleHardware Hardware { get; }

    public ThirdElement? Third { get; }

    public double ShareBraking { get; }

    public double ShareDriving { get; }

    public double LeftPreloadN { get; }

    public double RightPreloadN { get; }

    /// <summary>Contact-patch load at rest on the scales, N.</summary>
    public double LeftTyreN { get; }

    public double RightTyreN { get; }

    /// <summary>True once a wheel has gone past the end of its ratio table; the caller must stop.</summary>
    public bool IsBeyondTable { get; private set; }

    /// <summary>Damper travel, damper ratio and installation ratio at a wheel travel.</summary>
    public void Look(double wheelTravelM, out double damperTravelM, out double damperRatio, out double installationRatio)
    {
        double place = (wheelTravelM - lowest) * perMetre;
        if (!(place >= 0 && place <= Nodes - 1))
        {
            IsBeyondTable = true;
            place = place > 0 ? Nodes - 1 : 0;
        }

        int node = Math.Min((int)place, Nodes - 2);
        double share = place - node;
        ReadOnlySpan<double> rows = table.AsSpan(3 * node, 6);
        damperTravelM = rows[0] + (share * (rows[3] - rows[0]));
        damperRatio = rows[1] + (share * (rows[4] - rows[1]));
        installationRatio = rows[2] + (share * (rows[5] - rows[2]));
    }

    /// <summary>Force of one corner's spring and stops at the damper, N, without preload.</summary>
    public double SpringN(double damperTravelM)
    {
        double force = SpringNpm * damperTravelM;
        if (damperTravelM < droopStop)
        {
            force += StopNpm * (damperTravelM - droopStop);
        }
        else if (damperTravelM > bumpStop)
        {
            force += StopNpm * (damperTravelM - bumpStop);
        }

        return force;
    }

    /// <summary>Force of the third element, N, against the mean damper travel of the two sides.</summary>
    public double ThirdN(double meanTravelM)
    {
        if (Third is null)
        {
            return 0;
        }

        double force = Third.SpringRateNpm * Math.Max(0, meanTravelM - Third.SpringGapM);
        if (Third.RubberGapM is { } gap && rubberAt.Length > 1 && meanTravelM > gap)
        {
            double squeeze = meanTravelM - gap;
            int i = 0;
            while (i + 2 < rubberAt.Length && squeeze > rubberAt[i + 1])
            {
                i++;
            }

            // Beyond its last point the rubber goes on with its last slope.
            force += rubberN[i] + ((squeeze - rubberAt[i]) * (rubberN[i + 1] - rubberN[i]) / (rubberAt[i + 1] - rubberAt[i]));
        }

        return force;
    }

    // Wheel travel is the integral of dx / d(x) (equation E1); solved forward with dx/dw = d(x) in small steps, then tabled evenly in w.
    private static (double[] Table, double Lowest, double PerMetre) Curves(AxleSuspension axle, AxleHardware hardware)
    {
        RatioCurve damper = axle.DamperRatio;
        RatioCurve installation = axle.InstallationRatio;
        double damperGain = 1 + hardware.DamperRatioError;
        double installationGain = 1 + hardware.InstallationRatioError;
        double low = Math.Max(damper.LowestTravelM, installation.LowestTravelM);
        double high = Math.Min(damper.HighestTravelM, installation.HighestTravelM);
        double down = Reach(damper, damperGain, Math.Max(low, -10));
        double up = Reach(damper, damperGain, Math.Min(high, 10));
        double step = (up - down) / (Nodes - 1);
        double[] table = new double[3 * Nodes];

        // Start at the static position and walk both ways, so that travel 0 is travel 0.
        double Clamp(double x) => Math.Clamp(x, low, high);
        double Slope(double x) => damperGain * damper.At(Clamp(x));
        double Walk(double from, double length)
        {
            double x = from;
            const int parts = 4;
            double h = length / parts;
            for (int i = 0; i < parts; i++)
            {
                double k1 = Slope(x);
                double k2 = Slope(x + (h / 2 * k1));
                double k3 = Slope(x + (h / 2 * k2));
                double k4 = Slope(x + (h * k3));
                x += h / 6 * (k1 + (2 * k2) + (2 * k3) + k4);
            }

            return x;
        }

        int middle = (int)Math.Round(-down / step);
        middle = Math.Clamp(middle, 0, Nodes - 1);
        double[] travel = new double[Nodes];
        travel[middle] = Walk(0, down + (middle * step));
        for (int i = middle + 1; i < Nodes; i++)
        {
            travel[i] = Walk(travel[i - 1], step);
        }

        for (int i = middle - 1; i >= 0; i--)
        {
            travel[i] = Walk(travel[i + 1], -step);
        }

        for (int i = 0; i < Nodes; i++)
        {
            double x = Clamp(travel[i]);
            table[3 * i] = travel[i];
            table[(3 * i) + 1] = damperGain * damper.At(x);
            table[(3 * i) + 2] = installationGain * installation.At(x);
        }

        return (table, down, 1 / step);
    }

    // Wheel travel at which the damper travel reaches an end of the table, by integrating dx / d(x).
    private static double Reach(RatioCurve damper, double gain, double endM)
    {
        if (Math.Abs(endM) >= 10)
        {
            return Math.Sign(endM) * FreeTravelM;
        }

        const int parts = 2000;
        double h = endM / parts;
        double sum = 0;
        for (int i = 0; i < parts; i++)
        {
            sum += h / (gain * damper.At((i + 0.5) * h));
        }

        return Math.Sign(endM) * Math.Min(Math.Abs(sum), FreeTravelM);
    }
}
