using Telemetry.Car;

namespace Telemetry.Platform;

/// <summary>How lateral load transfer splits front to rear, from the loads, with the geometric parts of equation E2.</summary>
internal static class LateralTransfers
{
    /// <summary>Transfer per lateral specific force of both axles, regressed over the quiet blocks with laps left out in turn for the interval.</summary>
    /// <param name="blocks">The blocks.</param>
    /// <param name="stiffness">Stiffness by mode, for the roll-stiffness share.</param>
    /// <param name="withheldBecause">Why the loads cannot carry it, or null.</param>
    public static LateralTransfer? From(PlatformBlocks blocks, IReadOnlyList<ModeStiffness> stiffness, string? withheldBecause)
    {
        if (withheldBecause is not null || blocks.Means.AccelerationY is not { } lateral || blocks.Groups < 3)
        {
            return null;
        }

        (double front, double[] frontWithout) = Slope(blocks, lateral, 0);
        (double rear, double[] rearWithout) = Slope(blocks, lateral, 2);
        Estimate? f = GroupJackknife.Of(front, frontWithout);
        Estimate? r = GroupJackknife.Of(rear, rearWithout);
        if (f is null || r is null)
        {
            return null;
        }

        CarDefinition car = blocks.Run.Car;
        (double Front, double Rear)? geometric = Geometric(car);
        Estimate? share = geometric is { } g
            ? GroupJackknife.Of(Share(front + g.Front, rear + g.Rear), [.. frontWithout.Zip(rearWithout, (a, b) => Share(a + g.Front, b + g.Rear))], Systematic(car, front, rear, g))
            : null;
        Estimate? kf = stiffness.FirstOrDefault(m => m.Name == "roll, front axle")?.Measured;
        Estimate? kr = stiffness.FirstOrDefault(m => m.Name == "roll, rear axle")?.Measured;
        Estimate? roll = kf is null || kr is null ? null : ShareOf(kf, kr);
        return new(f, r, geometric?.Front, geometric?.Rear, share, roll,
            geometric is null ? "The share at the tyres needs roll-centre and unsprung heights in the car file." : null);
    }

    private static double Share(double front, double rear) => 100 * front / (front + rear);

    /// <summary>Share of two independent estimates (GUM, JCGM 100:2008, 5.1.2).</summary>
    private static Estimate ShareOf(Estimate front, Estimate rear)
    {
        double sum = front.Value + rear.Value;
        double half = 100 * double.Hypot(rear.Value * front.HalfWidth, front.Value * rear.HalfWidth) / (sum * sum);
        double value = Share(front.Value, rear.Value);
        return new(value, value - half, value + half);
    }

    /// <summary>Gain of the cells and the ratios, and a tenth of the geometric parts: roll centres move with travel (common practice, no source).</summary>
    private static double Systematic(CarDefinition car, double front, double rear, (double Front, double Rear) g)
    {
        double cell = (car.Mapping(ChannelRole.PushrodLoadFL)?.GainUncertainty ?? 0) / Math.Sqrt(2);
        double f = double.Hypot(front * double.Hypot(cell, car.Suspension.Front.InstallationRatio.RelativeUncertainty), 0.1 * g.Front);
        double r = double.Hypot(rear * double.Hypot(cell, car.Suspension.Rear.InstallationRatio.RelativeUncertainty), 0.1 * g.Rear);
        double sum = front + rear + g.Front + g.Rear;
        return 100 * double.Hypot((rear + g.Rear) * f, (front + g.Front) * r) / (sum * sum);
    }

    private static (double Front, double Rear)? Geometric(CarDefinition car)
    {
        if (car.Geometry.RollCentreHeightM is not { } roll || car.Geometry.UnsprungCentreHeightM is not { } unsprung)
        {
            return null;
        }

        double wheelbase = car.Geometry.WheelbaseM.Value;
        double behind = car.Geometry.SprungCentreBehindFrontAxleM.Value / wheelbase;
        double sprung = car.Masses.WithoutFuelKg.Value + car.Masses.FuelAtStartKg.Value - car.Masses.UnsprungKg.Front - car.Masses.UnsprungKg.Rear;
        return (
            ((sprung * (1 - behind) * roll.Front) + (car.Masses.UnsprungKg.Front * unsprung.Front)) / car.Geometry.TrackM.Front,
            ((sprung * behind * roll.Rear) + (car.Masses.UnsprungKg.Rear * unsprung.Rear)) / car.Geometry.TrackM.Rear);
    }

    private static (double All, double[] Without) Slope(PlatformBlocks blocks, double[] lateral, int left)
    {
        double[][] sums = [.. Enumerable.Range(0, blocks.Groups).Select(_ => new double[5])];
        double[] all = new double[5];
        for (int i = 0; i < blocks.Quiet.Length; i++)
        {
            int k = blocks.Quiet[i];
            double y = (blocks.Means.LoadN[left + 1][k] - blocks.Means.LoadN[left][k]) / 2;
            double x = lateral[k];
            if (double.IsFinite(x + y))
            {
                double[] terms = [1, x, y, x * x, x * y];
                for (int t = 0; t < 5; t++)
                {
                    all[t] += terms[t];
                    sums[blocks.Group[i]][t] += terms[t];
                }
            }
        }

        return (Of(all), [.. sums.Select(one => Of([.. all.Zip(one, (a, b) => a - b)]))]);

        static double Of(double[] s) => (s[4] - (s[1] * s[2] / s[0])) / (s[3] - (s[1] * s[1] / s[0]));
    }
}
