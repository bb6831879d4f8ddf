using System.Globalization;
using Telemetry.Aero;

namespace Telemetry.Tests.Aero;

public class AirDensityTests
{
    /// <summary>CIPM-2007 by mpmath, with every intermediate quantity (air/cipm2007_grid.csv).</summary>
    [Fact]
    public void Moist_air_agrees_with_the_formula_in_high_precision()
    {
        double[][] rows = CsvData.Numbers("air", "cipm2007_grid.csv").Rows;
        Assert.True(rows.Length > 40);
        foreach (double[] row in rows)
        {
            double kelvin = row[0] + 273.15;
            CsvData.AssertClose(row[3], MoistAir.SaturationVapourPressurePa(kelvin), 1e-12);
            CsvData.AssertClose(row[4], MoistAir.EnhancementFactor(kelvin, row[1]), 1e-12);
            double vapour = MoistAir.VapourMoleFraction(kelvin, row[1], row[2]);
            Assert.Equal(row[5], vapour, 1e-14);
            CsvData.AssertClose(row[6], MoistAir.Compressibility(kelvin, row[1], vapour), 1e-12);
            CsvData.AssertClose(row[7], MoistAir.DensityKgM3(kelvin, row[1], row[2]), 1e-12);
        }
    }

    /// <summary>Handbook rows (air/published.csv), each with the tolerance of its own column.</summary>
    [Theory]
    [InlineData("CIPM-2007 20 C 101325", 293.15, 101325, 0.5)]
    [InlineData("CIPM-2007 10 C 730 mmHg", 283.15, 730 * 133.322387415, 0.4)]
    [InlineData("CIPM 40 C 760 mmHg", 313.15, 760 * 133.322387415, 0.4)]
    public void Moist_air_agrees_with_handbook_values(string condition, double kelvin, double pascal, double humidity)
    {
        string[] row = CsvData.Text("air", "published.csv").Single(r => r[1].StartsWith(condition, StringComparison.Ordinal));
        Assert.Equal(CsvData.Number(row[2]), MoistAir.DensityKgM3(kelvin, pascal, humidity), CsvData.Number(row[4]));
    }

    [Theory]
    [InlineData("25 C", 298.15)]
    [InlineData("5 C", 278.15)]
    public void Saturation_pressure_lies_near_the_other_formulation(string condition, double kelvin)
    {
        string[] row = CsvData.Text("air", "published.csv").Single(r => r[0] == "saturation_vapour_pressure" && r[1].EndsWith("table " + condition, StringComparison.Ordinal));
        CsvData.AssertClose(CsvData.Number(row[2]), MoistAir.SaturationVapourPressurePa(kelvin), 5e-4);
    }

    [Fact]
    public void The_standard_atmosphere_agrees_with_high_precision()
    {
        foreach (double[] row in CsvData.Numbers("air", "isa_grid.csv").Rows)
        {
            (double temperature, double pressure, double density) = StandardAtmosphere.At(row[0]);
            CsvData.AssertClose(row[2], temperature, 1e-12);
            CsvData.AssertClose(row[3], pressure, 1e-11);
            CsvData.AssertClose(row[4], density, 1e-11);
        }
    }

    [Fact]
    public void The_standard_atmosphere_agrees_with_printed_tables()
    {
        foreach (string[] row in CsvData.Text("air", "published.csv").Where(r => r[1].Contains("geometric", StringComparison.Ordinal)))
        {
            string altitude = row[1].Split(' ')[^2];
            (double temperature, double pressure, double density) = StandardAtmosphere.At(double.Parse(altitude, CultureInfo.InvariantCulture));
            double? found = row[0] switch { "temperature" => temperature, "pressure" => pressure, "density" => density, _ => null };
            if (found is { } value)
            {
                Assert.Equal(CsvData.Number(row[2]), value, Math.Max(CsvData.Number(row[4]), 1e-9));
            }
        }
    }

    [Fact]
    public void Above_the_layer_there_is_no_standard_atmosphere() =>
        Assert.Throws<ArgumentOutOfRangeException>(() => StandardAtmosphere.At(12000));

    [Fact]
    public void Damp_air_is_lighter_than_dry_air() =>
        Assert.True(MoistAir.DensityKgM3(300, 100000, 1) < MoistAir.DensityKgM3(300, 100000, 0));
}
