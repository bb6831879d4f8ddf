using System.Collections.Immutable;
using System.Text.RegularExpressions;
using ScottPlot;
using FillY = ScottPlot.Plottables.FillY;
using Scatter = ScottPlot.Plottables.Scatter;
using Telemetry.Aero;
using Telemetry.Car;
using Telemetry.Fatigue;
using Telemetry.Kerbs;
using Telemetry.Logs;
using Telemetry.Output.Plots;
using Telemetry.Review;
using Telemetry.Runs;

namespace Telemetry.Tests.Output.Plots;

/// <summary>What the pictures say: titles, axes, and the data that is put into them.</summary>
public partial class SketchTests
{
    private static readonly Lazy<ImmutableArray<Sketch>> FullSketches = new(() => PlotSet.Sketches(SampleReviews.Full));

    /// <summary>What the made review holds; <see cref="RealSketches"/> has the pictures that only a whole analysis can fill.</summary>
    private static ImmutableArray<Sketch> Full => [.. FullSketches.Value.Where(sketch => sketch.Figure is not null)];

    private static readonly Lazy<ImmutableArray<Sketch>> RealSketches = new(() =>
    {
        string folder = Path.Combine(Repository.Root, "sample-runs", "baseline");
        CarDefinition car = CarFile.Read(Path.Combine(folder, "car.toml"));
        return PlotSet.Sketches(RunAnalysis.Review(LogReader.Read(Path.Combine(folder, "log.parquet"), car.Log), car, ReviewOptions.Default));
    });

    [Fact]
    public void A_whole_analysis_gives_the_map_the_balance_and_the_knee_with_units_and_numbers()
    {
        Figure[] figures = [.. RealSketches.Value.Where(s => s.Name is "aero_ride_height_map" or "aero_balance_by_condition" or "platform_load_against_travel").Select(s => s.Figure!)];
        Assert.Equal(3, figures.Length);
        Assert.All(figures, figure =>
        {
            Assert.Matches("[0-9].*±", figure.Title);
            Assert.All(figure.Panels, panel => Assert.Matches(UnitOrCount(), panel.Plot.Axes.Bottom.Label.Text));
            Assert.NotEmpty(figure.Description);
        });
    }

    [Fact]
    public void Each_axis_states_its_unit()
    {
        foreach (Figure figure in Full.Select(s => s.Figure!))
        {
            FigurePanel last = figure.Panels[^1];
            string[] across = [.. figure.Panels.Select(p => p.Plot.Axes.Bottom.Label.Text).Where(t => t.Length > 0)];
            Assert.NotEmpty(across);
            Assert.All(across, text => Assert.Matches(UnitOrCount(), text));
            Assert.All(figure.Panels.Select(p => p.Plot.Axes.Left.Label.Text).Where(t => t.Length > 0), text => Assert.Matches(UnitOrCount(), text));
            Assert.NotNull(last);
        }
    }

    [Fact]
    public void Each_title_states_a_finding_with_a_number_and_each_subtitle_the_run_and_the_car()
    {
        Assert.All(Full, sketch =>
        {
            Assert.Matches("[0-9]", sketch.Figure!.Title);
            Assert.StartsWith("rough afternoon run  ·  Invented car 3  ·  ", sketch.Figure.Subtitle, StringComparison.Ordinal);
            Assert.NotEmpty(sketch.Figure.Description);
        });
    }

    // 250 km/h, 1.2 kg/m3, 3.40 m2: q = 0.6 * (250/3.6)^2 = 2893.5 Pa; load 9.838 kN; half width 85 N + 1 % = 183 N; 1.47/3.40 = 43.2 %.
    [Fact]
    public void The_aero_title_gives_load_interval_and_balance_at_the_reference_speed() =>
        Assert.Equal("Aero load at 250 km/h: 9.84 kN ± 0.18 kN, 43.2 % ± 0.5 % front", Find("aero_load_by_speed").Title);

    [Fact]
    public void The_aero_picture_holds_three_curves_with_bands_and_the_windows()
    {
        RunReview review = SampleReviews.Full;
        Plot plot = Find("aero_load_by_speed").Panels[0].Plot;
        Assert.Equal(3, plot.GetPlottables<FillY>().Count());
        PointCloud[] clouds = [.. plot.GetPlottables<PointCloud>()];
        Assert.Equal(4, clouds.Length);

        // Thinned to one a cell of a fine grid, so a few that lie on each other are one point.
        int rejected = review.Aero.Windows.Count(w => w.RejectedBecause is not null);
        Assert.InRange(clouds[0].Points.Count, rejected * 9 / 10, rejected);
        Assert.Contains($"{rejected} windows turned away", Find("aero_load_by_speed").Legend[^1].Text, StringComparison.Ordinal);
        Scatter[] curves = [.. plot.GetPlottables<Scatter>().Where(s => s.Data.GetScatterPoints().Count == review.Aero.Curve.Length)];
        Assert.Equal(3, curves.Length);
        Assert.Equal(3, curves.Select(c => c.LinePattern.Name).Distinct().Count());
        Assert.Equal(3, curves.Select(c => c.LineColor.ToHex()).Distinct().Count());
    }

    [Fact]
    public void The_mode_pictures_show_four_panels_and_every_complete_lap_in_each()
    {
        int complete = SampleReviews.Full.Run.Laps.Laps.Count(l => l.IsComplete);
        foreach (string name in (string[])["load_modes_by_lap", "displacement_modes_by_lap"])
        {
            Figure figure = Find(name);
            Assert.Equal(4, figure.Panels.Count);
            Assert.Equal(complete, figure.Panels[0].Plot.GetPlottables<Scatter>().Count());
            Assert.Single(figure.Panels[0].Plot.GetPlottables<FillY>());
        }
    }

    [Fact]
    public void Strikes_stand_at_their_distance_and_peak_with_one_sign_a_corner()
    {
        KerbResult kerbs = SampleReviews.Full.Kerbs;
        PointCloud[] clouds = [.. Find("kerb_strikes").Panels[0].Plot.GetPlottables<PointCloud>()];
        KerbStrike worst = kerbs.Strikes.MaxBy(s => s.PeakLoadN)!;
        Assert.Contains(clouds, c => c.Points.Any(p => p.X == worst.DistanceM && Math.Abs(p.Y - (worst.PeakLoadN / 1000)) < 1e-9));
        Assert.Equal(5, clouds.Length);
        Assert.Equal(kerbs.Strikes.Count(s => s.ExceedsLimit), clouds[^1].Points.Count);
        Assert.StartsWith($"{kerbs.Strikes.Count(s => s.ExceedsLimit)} strike", Find("kerb_strikes").Title, StringComparison.Ordinal);
    }

    [Fact]
    public void Damage_bars_are_the_damage_of_each_lap_in_percent_of_life()
    {
        Figure figure = Find("damage_by_lap");
        ComponentResult[] byDamage = [.. SampleReviews.Full.Fatigue.Components.OrderByDescending(c => c.DamageRun)];
        Assert.Equal(byDamage.Length, figure.Panels.Count);
        for (int i = 0; i < byDamage.Length; i++)
        {
            Block[] bars = [.. figure.Panels[i].Plot.GetPlottables<Blocks>().Single().Items];
            Assert.Equal(byDamage[i].DamageByLap.Select(d => 100 * d), bars.Select(b => b.Top));
            Assert.Single(bars, b => b.IsHatched);
        }
    }

    [Fact]
    public void The_exceedance_line_runs_from_the_largest_range_to_the_number_of_cycles()
    {
        ComponentResult worst = SampleReviews.Full.Fatigue.Components.MaxBy(c => c.DamageRun)!;
        double largest = Enumerable.Range(0, worst.Cycles.Count).Max(i => Math.Abs(worst.Cycles.ToN[i] - worst.Cycles.FromN[i]));
        Coordinates[] line = [.. Find("exceedance").Panels[0].Plot.GetPlottables<Scatter>().First().Data.GetScatterPoints()];
        Assert.Equal(largest / 1000, line[0].Y, 9);
        Assert.Equal(Math.Log10(worst.Cycles.Weight.Sum()), line[^1].X, 9);
        for (int i = 1; i < line.Length; i++)
        {
            Assert.True(line[i].X > line[i - 1].X && line[i].Y <= line[i - 1].Y);
        }
    }

    [Fact]
    public void Texts_beside_points_cover_neither_each_other_nor_the_frame()
    {
        PlotFonts.Register();
        Callouts callouts = new([.. Enumerable.Range(0, 40).Select(i => new Callout(i % 5, i % 3, $"strike {i} of 22.4 kN", Look.Ink))]);
        using Plot plot = Look.NewPlot();
        plot.Add.Plottable(callouts);
        plot.Axes.SetLimits(-1, 6, -1, 4);
        plot.RenderInMemory(1000, 500);
        Assert.InRange(callouts.Placed.Count, 10, 40);
        for (int i = 0; i < callouts.Placed.Count; i++)
        {
            Assert.True(plot.LastRender.DataRect.Left <= callouts.Placed[i].Left && plot.LastRender.DataRect.Right >= callouts.Placed[i].Right);
            for (int k = 0; k < i; k++)
            {
                Assert.False(callouts.Placed[i].IntersectsWith(callouts.Placed[k]));
            }
        }
    }

    public static TheoryData<string> OddReviews => ["no laps complete", "no distance", "strikes without distance", "one window", "a corner all NaN",
        "no damage at all", "no findings", "no curve beside a headline", "sixty channels in doubt", "one sample", "infinite interval", "forty laps"];

    [Theory]
    [MemberData(nameof(OddReviews))]
    public void An_odd_review_is_drawn_or_left_out_but_never_stops_the_rest(string oddity)
    {
        PlotSet set = PlotSet.Draw(Odd(SampleReviews.Full, oddity), new PlotOptions { WidthPx = 640, HeightPx = 360 });
        Assert.Equal(17, set.Files.Length + set.LeftOut.Length);
        Assert.All(set.Files, f => Assert.DoesNotContain("NaN", f.Title, StringComparison.Ordinal));
        Assert.All(set.Files, f => Assert.Equal("svg", PlotSetTests.Parse(f.Svg).Name.LocalName));
    }

    private static RunReview Odd(RunReview full, string oddity)
    {
        SampleSource none = [.. Enumerable.Repeat(double.NaN, full.Run.Count)];
        LapTable Laps(Func<Lap, Lap> change) => full.Run.Laps with { Laps = [.. full.Run.Laps.Laps.Select(change)] };
        return oddity switch
        {
            "no laps complete" => full with { Run = full.Run with { Laps = Laps(l => l with { IsComplete = false }) } },
            "no distance" => full with { Run = full.Run with { LapDistanceM = [], Laps = Laps(l => l with { LengthM = double.NaN }) }, DamageSources = [.. full.DamageSources.Select(source => source with { ByPlace = null })] },
            "strikes without distance" => full with { Kerbs = full.Kerbs with { Strikes = [.. full.Kerbs.Strikes.Select(s => s with { DistanceM = double.NaN })] } },
            "one window" => full with { Aero = full.Aero with { AtReference = null, WithheldBecause = "One.", Curve = [], Budget = [], Windows = [full.Aero.Windows[0]] } },
            "a corner all NaN" => full with
            {
                Wheels = full.Wheels with { Pushrods = full.Wheels.Pushrods with { PushrodLoadN = full.Wheels.Pushrods.PushrodLoadN with { RearLeft = none } } },
                Modes = full.Modes with { Load = full.Modes.Load with { HeaveN = none } },
            },
            "no damage at all" => full with
            {
                Fatigue = full.Fatigue with
                {
                    Components = [.. full.Fatigue.Components.Select(c => c with { DamageRun = 0, DamageByLap = [.. c.DamageByLap.Select(_ => 0.0)] })],
                },
            },
            "no findings" => full with { Health = new(Telemetry.Health.HealthVerdict.Good, []) },
            "no curve beside a headline" => full with { Aero = full.Aero with { Curve = [] } },
            "sixty channels in doubt" => full with
            {
                Health = new(Telemetry.Health.HealthVerdict.Doubtful,
                    [.. Enumerable.Range(0, 60).Select(i => full.Health.Findings[0] with { Channel = $"channel {i}", StartS = -5, EndS = 1e9 })]),
            },
            "one sample" => full with { Run = full.Run with { Clock = Telemetry.Logs.TimeBase.Even(0, 0.005, 1), Laps = new([], "whole run") } },
            "infinite interval" => full with
            {
                Aero = full.Aero with { AtReference = full.Aero.AtReference! with { TotalLoadN = new(9_000, double.NegativeInfinity, double.PositiveInfinity) } },
            },
            "forty laps" => full with { Run = full.Run with { Laps = Split(full.Run, 40) } },
            _ => throw new ArgumentOutOfRangeException(nameof(oddity)),
        };
    }

    private static LapTable Split(Run run, int count) => new(
        [.. Enumerable.Range(0, count).Select(i =>
        {
            int start = (int)((long)run.Count * i / count), end = (int)((long)run.Count * (i + 1) / count);
            return new Lap(i + 1, start, end, run.Clock.At(start), run.Clock.At(end - 1), 900, true);
        })],
        "lap number channel");

    private static Figure Find(string name) => Full.First(s => s.Name == name).Figure!;

    [GeneratedRegex(@"\([^)]*(kN|N|mm|m|s|km/h|Hz|°|%|kN²/Hz|count)[^)]*\)|^Lap$")]
    private static partial Regex UnitOrCount();
}
