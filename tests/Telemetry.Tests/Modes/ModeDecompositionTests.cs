using System.Collections.Immutable;
using CsCheck;
using Telemetry.Car;
using Telemetry.Modes;

namespace Telemetry.Tests.Modes;

public class ModeDecompositionTests
{
    private static readonly CarGeometry Geometry = TestCars.Plain().Geometry;

    private static readonly Gen<double> Load = Gen.Double[-30_000, 30_000];

    private static PerCorner<SampleSource> Four(double fl, double fr, double rl, double rr) => new([fl], [fr], [rl], [rr]);

    [Fact]
    public void Corners_come_back_from_their_modes_to_the_last_few_ulps() =>
        Gen.Select(Load, Load, Load, Load).Sample((fl, fr, rl, rr) =>
        {
            PerCorner<ImmutableArray<double>> back = ModeDecomposition.CornerLoads(ModeDecomposition.Loads(Four(fl, fr, rl, rr), Geometry));
            double scale = Math.Max(Math.Max(Math.Abs(fl), Math.Abs(fr)), Math.Max(Math.Abs(rl), Math.Abs(rr)));
            double ulps = 8 * scale * 2.220446049250313e-16;
            Assert.Equal(fl, back.FrontLeft[0], ulps);
            Assert.Equal(fr, back.FrontRight[0], ulps);
            Assert.Equal(rl, back.RearLeft[0], ulps);
            Assert.Equal(rr, back.RearRight[0], ulps);
        });

    [Fact]
    public void Each_mode_is_the_signed_sum_that_the_trade_calls_by_its_name()
    {
        // Common practice, no source: heave all plus, pitch front plus, roll right plus, warp FL and RR plus.
        LoadModes modes = ModeDecomposition.Loads(Four(1000, 2000, 4000, 8000), Geometry);
        Assert.Equal(15_000, modes.HeaveN[0]);
        Assert.Equal(-9_000, modes.PitchN[0]);
        Assert.Equal(5_000, modes.RollN[0]);
        Assert.Equal(3_000, modes.WarpN[0]);
    }

    [Fact]
    public void Moments_use_the_real_tracks_and_the_centre_of_gravity()
    {
        // a = b = 1.5 m: 1.5*3000 - 1.5*12000; tracks 1.6 and 1.5 m: 0.8*1000 + 0.75*4000.
        LoadModes modes = ModeDecomposition.Loads(Four(1000, 2000, 4000, 8000), Geometry);
        Assert.Equal(-13_500, modes.PitchMomentNm[0]);
        Assert.Equal(3_800, modes.RollMomentNm[0]);
    }

    [Fact]
    public void Mirroring_left_and_right_turns_roll_and_warp_and_leaves_heave_and_pitch() =>
        Gen.Select(Load, Load, Load, Load).Sample((fl, fr, rl, rr) =>
        {
            LoadModes one = ModeDecomposition.Loads(Four(fl, fr, rl, rr), Geometry);
            LoadModes mirrored = ModeDecomposition.Loads(Four(fr, fl, rr, rl), Geometry);
            Assert.Equal(one.HeaveN[0], mirrored.HeaveN[0]);
            Assert.Equal(one.PitchN[0], mirrored.PitchN[0]);
            Assert.Equal(one.RollN[0], -mirrored.RollN[0]);
            Assert.Equal(one.WarpN[0], -mirrored.WarpN[0]);
        });

    [Fact]
    public void Displacements_are_mean_travel_and_angles_over_wheelbase_and_track()
    {
        // Front 20 and 28 mm, rear 6 and 12 mm: heave 16.5 mm; pitch (24-9)/3000; roll 8/1600 and 6/1500; warp (20+12-28-6)/4 = -0.5 mm.
        DisplacementModes modes = ModeDecomposition.Displacements(Four(0.020, 0.028, 0.006, 0.012), Geometry);
        Assert.Equal(0.0165, modes.HeaveM[0], 12);
        Assert.Equal(0.005, modes.PitchRad[0], 12);
        Assert.Equal(0.005, modes.RollFrontRad[0], 12);
        Assert.Equal(0.004, modes.RollRearRad[0], 12);
        Assert.Equal(-0.0005, modes.WarpM[0], 12);
    }

    [Fact]
    public void A_corner_without_a_value_leaves_every_load_mode_without_one()
    {
        LoadModes modes = ModeDecomposition.Loads(Four(1000, double.NaN, 4000, 8000), Geometry);
        Assert.True(double.IsNaN(modes.HeaveN[0]) && double.IsNaN(modes.PitchN[0]) && double.IsNaN(modes.RollN[0]) && double.IsNaN(modes.WarpN[0]));
    }
}
