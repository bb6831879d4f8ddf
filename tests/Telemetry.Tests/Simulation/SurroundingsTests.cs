using System.Globalization;
using System.Numerics;
using MathNet.Numerics.IntegralTransforms;
using Telemetry.Car;
using Telemetry.Simulation;

namespace Telemetry.Tests.Simulation;

/// <summary>Air, road and circuit.</summary>
public class SurroundingsTests
{
    [Theory]

    // CIPM-2007 by mpmath 1.2.1 and by the open R package masscor 0.0.7.1, both to 1e-15.
    [InlineData(20, 101325, 0.5, 1.19931389547449)]
    [InlineData(15, 60000, 0.0, 0.7255769905583024)]
    [InlineData(27, 60000, 0.0, 0.6965204280146109)]
    public void Density_is_that_of_cipm_2007(double celsius, double pascal, double humidity, double expected) =>
        Assert.Equal(expected, AirState.DensityKgpm3(new Weather(celsius + 273.15, pascal, humidity)), 1e-12);

    [Fact]
    public void A_class_a_road_has_the_spectrum_of_its_class()
    {
        const int count = 1 << 17;
        const double step = 0.1;
        double level = ClassMean("A");
        RoadDefinition road = new(11, level, LongestWaveM: 500);
        (double[] left, double[] right) = RoadSurface.Tracks(road, count, step);
        Complex[] leftLines = Lines(left);
        Complex[] rightLines = Lines(right);

        // ISO 8608:2016 table C.2 gives the level at 0.1 cycles/m and the exponent 2. Octaves from 16 m to 0.5 m.
        // The model's contact patch weighs three points a quarter, a half, a quarter: cos^4(pi n step) of the power.
        for (double low = 0.0625; low < 1; low *= 2)
        {
            double expected = 0;
            double foundLeft = 0;
            double foundRight = 0;
            int lines = 0;
            for (int k = (int)(low * count * step); k < (int)(2 * low * count * step); k++)
            {
                double n = k / (count * step);
                expected += level * Math.Pow(n / 0.1, -2) * Math.Pow(Math.Cos(Math.PI * n * step), 4);
                double scale = 2 * step / count;
                foundLeft += scale * leftLines[k].Magnitude * leftLines[k].Magnitude;
                foundRight += scale * rightLines[k].Magnitude * rightLines[k].Magnitude;
                lines++;
            }

            // A periodogram's octave scatters by 1/sqrt(lines) at least; steep spectra weigh the first lines more.
            double tolerance = 0.03 + (4 / Math.Sqrt(lines));
            Assert.InRange(foundLeft / expected, 1 - tolerance, 1 + tolerance);
            Assert.InRange(foundRight / expected, 1 - tolerance, 1 + tolerance);
        }
    }

    [Fact]
    public void Left_and_right_go_together_in_long_waves_and_apart_in_short_ones()
    {
        const int count = 1 << 17;
        (double[] left, double[] right) = RoadSurface.Tracks(new RoadDefinition(3, 4e-6, 500, CoherenceWaveM: 6), count, 0.1);
        Complex[] a = Lines(left);
        Complex[] b = Lines(right);
        Assert.InRange(Coherence(a, b, 0.005 * count * 0.1, 0.02 * count * 0.1), 0.97, 1.0);
        Assert.InRange(Coherence(a, b, 2 * count * 0.1, 4 * count * 0.1), 0.0, 0.1);
    }

    [Fact]
    public void The_road_repeats_each_lap_without_a_jump_and_is_level_where_the_car_stands()
    {
        const double lap = 3223.5349;
        RoadSurface road = new(new RoadDefinition(), lap, 2.95, 60, (6 * lap) + 60);
        double before = 0;
        for (double s = lap - 1; s < lap + 1; s += 0.002)
        {
            road.At(s, out double left, out _, out double right, out _, out _);
            road.At(s + (3 * lap), out double again, out _, out double rightAgain, out _, out _);
            Assert.Equal(left, again, 1e-9);
            Assert.Equal(right, rightAgain, 1e-9);
            Assert.True(before == 0 || Math.Abs(left - before) < 1e-4);
            before = left;
        }

        road.At(60, out double l, out double slope, out _, out _, out double floor);
        Assert.Equal((0, 0, 0), (l, slope, floor));
        road.At((6 * lap) + 60, out l, out slope, out _, out _, out floor);
        Assert.Equal((0, 0, 0), (l, slope, floor));
    }

    [Fact]
    public void The_stated_slope_is_the_derivative_of_the_road()
    {
        RoadSurface road = new(new RoadDefinition(), 3223.5, 2.95, 60, 20000);
        for (double s = 500; s < 520; s += 0.0371)
        {
            road.At(s, out double left, out double slope, out _, out _, out _);
            road.At(s + 1e-6, out double after, out _, out _, out _, out _);
            Assert.Equal((after - left) / 1e-6, slope, 1e-5);
        }
    }

    [Fact]
    public void The_circuit_closes_and_has_three_straights_far_apart_in_heading()
    {
        CircuitPath path = new(InventedCar.Circuit);
        (double east, double north) = path.Position(0);
        (double eastEnd, double northEnd) = path.Position(path.LengthM - 1e-6);
        Assert.Equal(east, eastEnd, 1e-3);
        Assert.Equal(north, northEnd, 1e-3);

        // Middles of the three long straights; 70, then 130 and 240 degrees to the left of it.
        const double degree = Math.PI / 180;
        Assert.Equal(70 * degree, path.Course(400), 1e-9);
        Assert.Equal(300 * degree, path.Course(1650), 1e-3);
        Assert.Equal(190 * degree, path.Course(2450), 1e-3);
    }

    [Fact]
    public void Positions_move_as_far_as_the_car_drives()
    {
        CircuitPath path = new(InventedCar.Circuit);
        double sum = 0;
        for (double s = 0; s < 3000; s += 5)
        {
            (double e0, double n0) = path.Position(s);
            (double e1, double n1) = path.Position(s + 5);
            sum += Math.Sqrt(((e1 - e0) * (e1 - e0)) + ((n1 - n0) * (n1 - n0)));
        }

        // Chords are shorter than arcs, and the gap left by the smoothed corners is spread: 0.3 % together.
        Assert.Equal(3000, sum, 9.0);
    }

    private static double ClassMean(string name)
    {
        foreach (string line in File.ReadLines(Repository.Data("road", "iso_8608_classes.csv")))
        {
            string[] cells = line.Split(',');
            if (cells[0] == name)
            {
                return double.Parse(cells[2], CultureInfo.InvariantCulture) * 1e-6;
            }
        }

        throw new InvalidOperationException(name);
    }

    private static Complex[] Lines(double[] values)
    {
        Complex[] lines = [.. values.Select(v => new Complex(v, 0))];
        Fourier.Forward(lines, FourierOptions.NoScaling);
        return lines;
    }

    // Coherence of a band: |sum of cross|^2 / (sum a sum b).
    private static double Coherence(Complex[] a, Complex[] b, double from, double to)
    {
        Complex cross = Complex.Zero;
        double powerA = 0;
        double powerB = 0;
        for (int k = (int)from; k < (int)to; k++)
        {
            cross += a[k] * Complex.Conjugate(b[k]);
            powerA += a[k].Magnitude * a[k].Magnitude;
            powerB += b[k].Magnitude * b[k].Magnitude;
        }

        return cross.Magnitude * cross.Magnitude / (powerA * powerB);
    }
}
