using System.Collections.Immutable;

namespace Telemetry.Car;

/// <summary>Says which answers a car file has enough for, from the fields that it gives; works on a file with faults too.</summary>
internal static class CarAnswers
{
    /// <summary>All answers of a file that was read.</summary>
    public static ImmutableArray<AnswerNeeds> Of(CarSection root) => Of(root, root.IsGood);

    /// <summary>All answers of a file, with a say of one's own about which fields are there.</summary>
    internal static ImmutableArray<AnswerNeeds> Of(CarSection root, Func<string, bool> isGood)
    {
        Collector health = new(isGood);
        if (!ChannelNames.All.Any(c => isGood("channels." + c)))
        {
            health.Need("channels");
        }

        foreach (Corner corner in Corners.All)
        {
            string load = Load(corner);
            if (isGood(load))
            {
                health.Better(load + ".range", "clipping is found from the data only");
            }
        }

        Collector zero = new(isGood);
        PushrodLoads(zero);
        zero.Need("channels.speed");
        CornerWeights(zero);
        if (isGood("setup.corner_weight_fl"))
        {
            zero.Better("setup.corner_weight_uncertainty", "taken as 0 N");
        }

        foreach (Corner corner in Corners.All)
        {
            zero.Better("channels.cell_temperature_" + Code(corner), "drift is taken over time only");
        }

        Collector wheels = new(isGood);
        WheelLoads(wheels);

        Collector patch = new(isGood);
        WheelLoads(patch);
        patch.Need("mass", "geometry.roll_centre_height_front", "geometry.roll_centre_height_rear", "geometry.unsprung_cg_height_front",
            "geometry.unsprung_cg_height_rear", "channels.acceleration_x", "channels.acceleration_y", "channels.acceleration_z");
        Linkage(patch);

        Collector aero = new(isGood);
        Aero(aero);
        Collector wind = new(isGood);
        Aero(wind);
        if (!isGood("channels.air_speed"))
        {
            wind.Better("channels.course", "heading is integrated from yaw rate or from lateral acceleration over speed");
        }

        ImmutableArray<AnswerNeeds> whole =
        [
            health.As(CarAnswer.Health), zero.As(CarAnswer.Zero), wheels.As(CarAnswer.WheelLoads), patch.As(CarAnswer.ContactPatchLoads),
            aero.As(CarAnswer.AeroLoad), wind.As(CarAnswer.AeroInMovingAir), Platform(isGood), Kerbs(isGood),
        ];
        return [.. whole, .. Fatigue(root, isGood), Shims(isGood)];
    }

    private static AnswerNeeds Platform(Func<string, bool> isGood)
    {
        Collector needs = new(isGood);
        bool hasSensors = isGood("channels.ride_height_front") && isGood("channels.ride_height_rear");
        if (!hasSensors)
        {
            // Without sensors on both axles the heights are worked out from static heights and wheel travel.
            foreach (Corner corner in Corners.All)
            {
                needs.Need("channels.damper_travel_" + Code(corner));
            }

            needs.Need("setup.ride_height_front", "setup.ride_height_rear", "suspension.front.damper_ratio", "suspension.rear.damper_ratio");
            needs.Better("channels.ride_height_front", "ride height at speed is worked out from damper travel and tyre rate");
            needs.Better("channels.ride_height_rear", "ride height at speed is worked out from damper travel and tyre rate");
            needs.Better("suspension.front.tyre_rate", "tyre deflection is left out");
            needs.Better("suspension.rear.tyre_rate", "tyre deflection is left out");
        }

        else
        {
            needs.Better("setup.ride_height_front", "sensors are not compared with the setup sheet");
            needs.Better("setup.ride_height_rear", "sensors are not compared with the setup sheet");
        }

        needs.Better("channels.acceleration_y", "no share of the roll load");
        foreach (string axle in new[] { "front", "rear" })
        {
            needs.Better($"suspension.{axle}.third_element", "engagement is found from the data only");
        }

        return needs.As(CarAnswer.Platform);
    }

    private static AnswerNeeds Kerbs(Func<string, bool> isGood)
    {
        Collector needs = new(isGood);
        PushrodLoads(needs);
        needs.Better("channels.speed", "no zero, so no margins to limits, and no distance");
        if (!isGood("channels.lap_distance"))
        {
            needs.Better("channels.lap_distance", "distance is integrated from speed");
        }

        needs.Better("channels.lap_number", "laps are found from lap distance, else the run is one lap");
        foreach (Corner corner in Corners.All)
        {
            needs.Better("channels.damper_travel_" + Code(corner), "no damper speed at the strike");
        }

        needs.Better("components", "no limit to compare a strike with");
        return needs.As(CarAnswer.KerbStrikes);
    }

    private static IEnumerable<AnswerNeeds> Fatigue(CarSection root, Func<string, bool> isGood)
    {
        int number = 0;
        foreach (CarSection section in root.Sections("components", again: true))
        {
            number++;
            string path = $"components[{number}]";
            Collector needs = new(isGood);
            needs.Need(path + ".fatigue");
            string? own = section.Peek("corner")?.ToLowerInvariant();
            List<CarSection> terms = [.. section.Sections("load", again: true)];
            IEnumerable<(string? Corner, bool IsWheelLoad, bool IsTravel)> loads = terms.Count > 0
                ? terms.Where(t => t.Peek("source") != "constant").Select(t => (t.Peek("corner")?.ToLowerInvariant() ?? own, t.Peek("source") == "wheel_load", t.Peek("source") == "damper_travel"))
                : [(own, false, false)];
            foreach ((string? corner, bool isWheelLoad, bool isTravel) in loads)
            {
                if (corner is null || Corners.FromCode(corner) is not { } at)
                {
                    needs.Need(path + ".corner");
                    continue;
                }

                needs.Need(isTravel ? "channels.damper_travel_" + Code(at) : Load(at));
                if (isWheelLoad)
                {
                    Ratio(needs, at);
                }
            }

            needs.Better("channels.speed", "no zero, so no margins to limits and no mean stress");
            yield return needs.As(CarAnswer.Fatigue, section.Peek("id") ?? path);
        }
    }

    private static AnswerNeeds Shims(Func<string, bool> isGood)
    {
        Collector needs = new(isGood);
        needs.Need("suspension.front.installation_ratio", "suspension.rear.installation_ratio", "setup.ride_height_front", "setup.ride_height_rear", "shims.steps");
        return needs.As(CarAnswer.Shims);
    }

    private static void Aero(Collector needs)
    {
        WheelLoads(needs);
        needs.Need("geometry.wheelbase", "geometry.sprung_cg_behind_front_axle", "geometry.cg_height", "mass");
        needs.NeedAny(["channels.acceleration_y", "channels.yaw_rate"]);
        CornerWeights(needs);
        needs.Better("channels.acceleration_x", "taken from the speed, so gradients are not in it");
        needs.Better("channels.acceleration_z", "crests and compressions count as aero load");
        needs.Better("channels.brake", "braking is told from longitudinal acceleration only");
        if (!needs.Has("channels.air_temperature") || !needs.Has("channels.air_pressure") || !needs.Has("channels.air_humidity"))
        {
            needs.Better("weather", "standard atmosphere, flagged");
        }

        if (!needs.Has("channels.fuel_mass"))
        {
            needs.Better("mass.fuel_per_lap", "no fuel is burned");
        }

        Linkage(needs);
        if (!needs.Has("channels.ride_height_front") || !needs.Has("channels.ride_height_rear"))
        {
            needs.Better("channels.ride_height_front", "the lift area varies with dynamic pressure only");
            needs.Better("channels.ride_height_rear", "the lift area varies with dynamic pressure only");
        }
    }

    private static void Linkage(Collector needs)
    {
        needs.Better("suspension.front.linkage_share_braking", "taken as 0");
        needs.Better("suspension.rear.linkage_share_braking", "taken as 0");
        needs.Better("suspension.rear.linkage_share_driving", "taken as 0");
    }

    private static void CornerWeights(Collector needs)
    {
        foreach (Corner corner in Corners.All)
        {
            needs.Better("setup.corner_weight_" + Code(corner), "static loads are taken from mass and centre of gravity, both sides alike");
        }
    }

    private static void WheelLoads(Collector needs)
    {
        PushrodLoads(needs);

        // Standstill, and with it the zero, is told from speed.
        needs.Need("channels.speed");
        foreach (Corner corner in Corners.All)
        {
            Ratio(needs, corner);
        }
    }

    private static void Ratio(Collector needs, Corner corner)
    {
        string ratio = corner.Axle() == Axle.Front ? "suspension.front.installation_ratio" : "suspension.rear.installation_ratio";
        needs.Need(ratio);
        if (needs.Has(ratio + ".damper_travel"))
        {
            needs.Need("channels.damper_travel_" + Code(corner));
        }
    }

    private static void PushrodLoads(Collector needs)
    {
        foreach (Corner corner in Corners.All)
        {
            needs.Need(Load(corner));
        }
    }

    private static string Load(Corner corner) => "channels.pushrod_load_" + Code(corner);

    private static string Code(Corner corner) => corner.Code().ToLowerInvariant();

    /// <summary>Gathers the fields of one answer, each once.</summary>
    private sealed class Collector(Func<string, bool> isGood)
    {
        private readonly List<string> missing = [];
        private readonly List<string> improve = [];

        public bool Has(string path) => isGood(path);

        public void Need(params ReadOnlySpan<string> paths)
        {
            foreach (string path in paths)
            {
                if (!Has(path) && !missing.Contains(path))
                {
                    missing.Add(path);
                }
            }
        }

        public void NeedAny(IEnumerable<string> paths)
        {
            string[] all = [.. paths];
            if (!Array.Exists(all, Has))
            {
                missing.Add(string.Join(" or ", all));
            }
        }

        public void Better(string path, string otherwise)
        {
            if (!Has(path))
            {
                improve.Add($"{path} ({otherwise})");
            }
        }

        public AnswerNeeds As(CarAnswer answer, string? component = null) => new(answer, component, [.. missing], [.. improve]);
    }
}
