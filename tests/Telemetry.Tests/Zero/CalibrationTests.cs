using System.Collections.Immutable;
using System.Text.Json;
using Telemetry.Car;
using Telemetry.Health;
using Telemetry.Logs;
using Telemetry.Runs;
using Telemetry.Tests.Aero;
using Telemetry.Zero;
using CsvData = Telemetry.Tests.Aero.CsvData;

namespace Telemetry.Tests.Zero;

public class CalibrationTests
{
    private static readonly PerCorner<ImmutableArray<double>> None = PerCorner.Of(_ => default(ImmutableArray<double>));

    private static CalibrationRecord Bench(double[] applied, double[] reading, Corner at = Corner.FrontLeft) => new()
    {
        Number = 1,
        Date = new DateOnly(2026, 3, 1),
        ValidUntil = new DateOnly(2027, 3, 1),
        Corner = at,
        AppliedN = None.Select((corner, none) => corner == at ? [.. applied] : none),
        ReadingN = None.Select((corner, none) => corner == at ? [.. reading] : none),
        DamperTravelM = None,
        AppliedUncertaintyShare = 0,
    };

    private static CellCalibration Fit(CalibrationRecord record, Corner corner = Corner.FrontLeft, CarDefinition? car = null) =>
        CellCalibrations.Of((car ?? TestCars.Plain()) with { Calibrations = [record] }, new DateOnly(2026, 6, 1)).Cells[corner]!;

    /// <summary>
    /// Norris of the NIST Statistical Reference Datasets is itself a calibration (ozone monitors against a standard): certified intercept, slope, their standard
    /// deviations and the residual deviation. Longley, six near-collinear columns, is the hard case for a fit with cross-talk.
    /// </summary>
    [Theory]
    [InlineData("Norris", 9)]
    [InlineData("Longley", 8)]
    public void The_fit_reaches_the_certified_values_of_the_reference_datasets(string name, double digits)
    {
        double[][] rows = CsvData.Numbers("nist_strd", name + ".csv").Rows;
        JsonElement certificate = CsvData.Json("nist_strd", "certified.json").GetProperty("linear_regression")
            .EnumerateArray().First(e => e.GetProperty("name").GetString() == name);
        double[][] columns = [[.. rows.Select(_ => 1.0)], .. Enumerable.Range(1, rows[0].Length - 1).Select(k => rows.Select(row => row[k]).ToArray())];
        LinearFit fit = LinearFit.Of(columns, rows.Select(row => row[0]).ToArray())!;
        JsonElement[] parameters = [.. certificate.GetProperty("parameters").EnumerateArray()];
        for (int k = 0; k < parameters.Length; k++)
        {
            CsvData.AssertClose(CsvData.Number(parameters[k].GetProperty("estimate").GetString()!), fit.Coefficients[k], Math.Pow(10, -digits));
            CsvData.AssertClose(CsvData.Number(parameters[k].GetProperty("standard_deviation").GetString()!), fit.StandardError(k), Math.Pow(10, -digits));
        }

        CsvData.AssertClose(CsvData.Number(certificate.GetProperty("residual_standard_deviation").GetString()!), fit.ResidualDeviation, Math.Pow(10, -digits));
    }

    [Fact]
    public void The_ozone_monitors_come_out_with_their_certified_slope_as_a_cell_calibration()
    {
        // The same data through the whole calibration: x as the known load, y as the reading. NIST StRD Norris: slope 1.00211681802045, intercept -0.262323073774029, residual 0.884796396144373.
        double[][] rows = CsvData.Numbers("nist_strd", "Norris.csv").Rows;
        CellCalibration cell = Fit(Bench([.. rows.Select(row => row[1])], [.. rows.Select(row => row[0])]));
        Assert.Equal(1.00211681802045, cell.Gain, 11);
        Assert.Equal(-0.262323073774029, cell.ZeroN, 9);
        Assert.Equal(0.884796396144373, cell.ResidualN, 9);

        // ASTM E74: lower limit factor 2.4 s, as load.
        Assert.Equal(2.4 * 0.884796396144373 / 1.00211681802045, cell.LowerLimitFactorN, 9);
    }

    [Fact]
    public void The_terms_of_a_data_sheet_are_those_of_a_worked_example()
    {
        // By hand. Load 0, 5, 10 kN and back; output at 10 kN is 10 kN. Rising: 0, 5.02, 10.00: best line through the three has intercept 0.00667, slope 1, so the
        // residuals are -6.67, +13.33, -6.67 N: linearity 0.1333 %. Falling at 5 kN reads 5.03: hysteresis 0.01 of 10 kN, 0.1 %. It ends at 0.004: zero return 0.04 %.
        double[] load = [0, 5000, 10000, 5000, 0];
        double[] reading = [0, 5020, 10000, 5030, 4];
        DataSheetTerms terms = DataSheetTerms.Of(load, reading, 1, 10000);
        Assert.Equal(0.0013333, terms.Linearity, 6);
        Assert.Equal(0.001, terms.Hysteresis!.Value, 9);
        Assert.Equal(0.0004, terms.ZeroReturn!.Value, 9);
        Assert.Null(terms.Repeatability);
    }

    [Fact]
    public void Repeatability_compares_the_same_load_in_two_series_and_not_the_way_back()
    {
        double[] load = [0, 5000, 10000, 5000, 0, 5000, 10000, 0];
        double[] reading = [0, 5000, 10000, 5030, 0, 5007, 10003, 0];
        DataSheetTerms terms = DataSheetTerms.Of(load, reading, 1, 10000);
        Assert.Equal(0.0007, terms.Repeatability!.Value, 9);
        Assert.Equal(0.003, terms.Hysteresis!.Value, 9);
    }

    [Fact]
    public void A_calibration_is_its_own_step_and_the_raw_readings_stay()
    {
        TimeBase time = TimeBase.Even(0, 0.01, 6000);
        const double Static = 120 * TestCars.G / 0.8;
        double Speed(double t) => t is < 10 or > 50 ? 0 : 40;
        double Load(double t) => Static + (Speed(t) * 10);
        CarDefinition car = TestCars.Plain() with { Calibrations = [Bench([0, 1000, 2000, 3000], [7, 1027, 2047, 3067])] };
        Run run = RunAssembly.From(
            TestCars.Log(
            [
                TestCars.Channel("P FL", "N", time, t => (1.02 * Load(t)) + 55),
                .. new[] { "P FR", "P RL", "P RR" }.Select(name => TestCars.Channel(name, "N", time, Load)),
                TestCars.Channel("v", "m/s", time, Speed),
            ]),
            car);
        ZeroedLoads loads = ZeroOffsets.From(run, ZeroOptions.Default);
        Assert.Equal(1.02, loads.Calibrations.FrontLeft!.Gain, 9);
        Assert.Equal(Static + 400, loads.PushrodLoadN.FrontLeft[3000], 6);
        Assert.Equal((1.02 * (Static + 400)) + 55, run.OnClock(ChannelRole.PushrodLoadFL)[3000], 9);
        Calibrated step = Assert.Single(loads.Steps.FrontLeft.OfType<Calibrated>());
        Assert.Equal(1 / 1.02, step.FactorFL, 9);
        Assert.IsType<ZeroRemoved>(loads.Steps.FrontLeft[^1]);
        Assert.Empty(loads.Steps.RearLeft.OfType<Calibrated>());
    }

    [Fact]
    public void The_gain_uncertainty_of_a_calibration_replaces_that_of_the_channel()
    {
        // Three exact points on a line: nothing but the known loads is left, 0.2 %.
        CarDefinition car = TestCars.Plain() with { Calibrations = [Bench([0, 1000, 2000, 3000], [0, 1000, 2000, 3000]) with { AppliedUncertaintyShare = 0.002 }] };
        Assert.Equal(0.002, CellCalibrations.Of(car, null).Cells.FrontLeft!.GainUncertainty, 9);
    }

    [Fact]
    public void Cross_talk_is_told_when_the_wheels_were_loaded_in_turn_and_said_to_be_unknown_when_they_were_not()
    {
        // Ratio 0.8, 30 kg of unsprung mass a corner: a weight W gives (W - 294.2 N) / 0.8 in the pushrod. The cell FL reads 1.01 of its own and 2 % of FR's load.
        double Pushrod(double weight) => (weight - (30 * TestCars.G)) / 0.8;
        CellCalibration Of(double[] left, double[] right) => Fit(new CalibrationRecord
        {
            Number = 1,
            Date = new DateOnly(2026, 3, 1),
            ValidUntil = new DateOnly(2027, 3, 1),
            AppliedN = new([.. left], [.. right], [.. left], [.. right]),
            ReadingN = new(
                [.. left.Select((w, i) => 40 + (1.01 * Pushrod(w)) + (0.02 * Pushrod(right[i])))],
                [.. right.Select(Pushrod)],
                [.. left.Select(Pushrod)],
                [.. right.Select(Pushrod)]),
            DamperTravelM = None,
            AppliedUncertaintyShare = 0.001,
        });

        CellCalibration inTurn = Of([1500, 2000, 2500, 2000, 1500, 1500, 1500, 1500, 1500], [1500, 1500, 1500, 1500, 1500, 2000, 2500, 2000, 1500]);
        Assert.Equal(1.01, inTurn.Gain, 9);
        Assert.Equal(0.02, inTurn.CrossTalk.FrontRight!.Value, 9);
        Assert.Equal(40, inTurn.ZeroN, 6);

        CellCalibration together = Of([1500, 2000, 2500, 2000, 1500, 2000, 2500], [1500, 2000, 2500, 2000, 1500, 2000, 2500]);
        Assert.Null(together.CrossTalk.FrontRight);
        Assert.Equal(1.03, together.Gain, 9);
        Assert.Contains("Put ballast on one corner at a time", together.Note, StringComparison.Ordinal);
    }

    [Theory]
    [InlineData("2027-03-01", null)]
    [InlineData("2027-03-02", "calibration_expired")]
    [InlineData(null, "calibration_unchecked")]
    public void Validity_is_judged_against_the_day_of_the_run_and_never_the_clock(string? day, string? kind)
    {
        CarDefinition car = TestCars.Plain() with { Calibrations = [Bench([0, 1000, 2000], [0, 1000, 2001])] };
        ImmutableArray<HealthFinding> findings = CellCalibrations.Of(car, day is null ? null : DateOnly.Parse(day, System.Globalization.CultureInfo.InvariantCulture)).Findings;
        Assert.Equal(kind is null ? [] : [kind], findings.Select(finding => finding.Kind));
    }

    [Fact]
    public void A_record_without_dates_is_said()
    {
        CarDefinition car = TestCars.Plain() with { Calibrations = [Bench([0, 1000, 2000], [0, 1000, 2001]) with { Date = null, ValidUntil = null }] };
        HealthFinding finding = Assert.Single(CellCalibrations.Of(car, new DateOnly(2026, 6, 1)).Findings);
        Assert.Equal("calibration_undated", finding.Kind);
        Assert.Equal(HealthVerdict.Doubtful, finding.Severity);
    }

    [Fact]
    public void Of_several_records_the_newest_before_the_run_counts_and_one_of_another_cell_never()
    {
        CalibrationRecord march = Bench([0, 1000, 2000], [0, 1010, 2020]);
        CalibrationRecord may = Bench([0, 1000, 2000], [0, 1020, 2040]) with { Number = 2, Date = new DateOnly(2026, 5, 1), CellSerial = "B" };
        CarDefinition car = TestCars.Plain() with { Calibrations = [may, march] };
        Assert.Equal(1.02, CellCalibrations.Of(car, new DateOnly(2026, 6, 1)).Cells.FrontLeft!.Gain, 9);
        Assert.Equal(1.01, CellCalibrations.Of(car, new DateOnly(2026, 4, 1)).Cells.FrontLeft!.Gain, 9);
        CarDefinition fitted = car with { Channels = [.. car.Channels.Select(mapping => mapping.Role == ChannelRole.PushrodLoadFL ? mapping with { Serial = "A" } : mapping)] };
        Assert.Equal(1.01, CellCalibrations.Of(fitted, new DateOnly(2026, 6, 1)).Cells.FrontLeft!.Gain, 9);
        CarDefinition only = fitted with { Calibrations = [may] };
        CalibrationSet set = CellCalibrations.Of(only, new DateOnly(2026, 6, 1));
        Assert.Null(set.Cells.FrontLeft);
        Assert.Equal("calibration_other_cell", Assert.Single(set.Findings).Kind);
    }
}
