namespace Telemetry.Tests.Car;

/// <summary>What a person should look at although the file can be used.</summary>
public class CarWarningTests
{
    [Theory]
    [InlineData("compression_limit = \"12.0 kN\"", "compression_limit = \"17.0 kN\"", "components[1].compression_limit", "17000 N lies above the column allowable")]
    [InlineData("inspection_threshold = \"9.0 kN\"", "inspection_threshold = \"11.0 kN\"", "components[1].inspection_threshold", "11000 N lies above the smaller limit 10000 N.")]
    [InlineData("corner_weight_fl = \"151.6 kg\"", "corner_weight_fl = \"156.0 kg\"", "setup.corner_weight_fl", "the corner weights sum to 679.4 kg while mass and fuel on the scales give 675 kg (+0.7 %).")]
    [InlineData("sprung_cg_behind_front_axle = \"1.620 m ± 6 mm\"", "sprung_cg_behind_front_axle = \"1.570 m\"", "geometry.sprung_cg_behind_front_axle", "the corner weights put 44.9 % on the front axle while masses and centre of gravity give 46.3 %.")]
    [InlineData("track_front = \"1.560 m\"", "track_front = \"1.560 m +- 2 mm\"", "geometry.track_front", "its uncertainty is not used in any answer.")]
    [InlineData("[suspension.front]\n", "[suspension.front]\nlinkage_share_driving = 0.1\n", "suspension.front.linkage_share_driving", "driven at the rear has none at the front")]
    [InlineData("ultimate_strength = \"540 MPa\"", "ultimate_strength = \"40 MPa\"", "components[5].fatigue.ultimate_strength", "lies below the amplitude")]
    public void A_doubt_is_told_and_the_car_is_still_read(string old, string change, string path, string found)
    {
        string text = CarText.With(old, change);
        Assert.Empty(CarText.Faults(text));
        InputFault warning = Assert.Single(CarText.Warnings(text));
        Assert.EndsWith($", {path}", warning.Where, StringComparison.Ordinal);
        Assert.Contains(found, warning.Found, StringComparison.Ordinal);
    }
}
