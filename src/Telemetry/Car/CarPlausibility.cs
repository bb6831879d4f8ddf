namespace Telemetry.Car;

/// <summary>Checks that need more than one field: what does not fit together is a fault, what only looks odd is a warning.</summary>
internal static class CarPlausibility
{
    /// <summary>Largest share by which the corner weights may miss the mass. Scales and fuel readings of a race team agree within 0.5 %; 3 % is another car or another fuel load. Common practice, no source.</summary>
    private const double LargestMassMiss = 0.03;

    /// <summary>Share above which a miss is told as a warning.</summary>
    private const double NoticeableMassMiss = 0.005;

    /// <summary>Largest miss of the static front share, in points of a share: 0.02 of a 3 m wheelbase is 6 cm of centre of gravity.</summary>
    private const double LargestFrontShareMiss = 0.02;

    /// <summary>Miss of the static front share above which a warning is given.</summary>
    private const double NoticeableFrontShareMiss = 0.005;

    /// <summary>Checks the car's masses, lengths and static weights against each other.</summary>
    public static void OfWhole(CarSection root, CarGeometry? geometry, CarMasses? masses, SetupSheet? setup, PerAxle<AxleSuspension>? suspension)
    {
        if (geometry is not null && geometry.SprungCentreBehindFrontAxleM.Value >= geometry.WheelbaseM.Value)
        {
            At(root, "geometry", "sprung_cg_behind_front_axle", $"{Metres(geometry.SprungCentreBehindFrontAxleM.Value)} puts the centre of gravity behind the rear axle; the wheelbase is {Metres(geometry.WheelbaseM.Value)}.", "Correct one of the two.");
            geometry = null;
        }

        if (masses is not null && masses.UnsprungKg.Front + masses.UnsprungKg.Rear > 0.6 * masses.WithoutFuelKg.Value)
        {
            At(root, "mass", "without_fuel", $"{Kilograms(masses.WithoutFuelKg.Value)} with {Kilograms(masses.UnsprungKg.Front + masses.UnsprungKg.Rear)} unsprung leaves less than 40 % sprung.", "Correct one of them; unsprung masses are of an axle, both wheels together.");
            masses = null;
        }

        if (masses is not null && setup?.CornerWeightN is { } weights)
        {
            Weights(root, geometry, masses, setup, weights);
        }

        if (suspension is not null && root.Has("suspension"))
        {
            if (suspension.Front.LinkageShareDriving > 0)
            {
                Warn(root, "suspension.front.linkage_share_driving", "is given; a car that is driven at the rear has none at the front.", "Leave it only on a car with driven front wheels.");
            }
        }
    }

    /// <summary>Checks a component's limits against each other and against its strut.</summary>
    public static void OfLimits(CarSection section, double? compression, double? tension, double? inspection, StrutDefinition? strut)
    {
        if (inspection is { } threshold && (compression ?? tension) is not null)
        {
            double larger = Math.Max(compression ?? 0, tension ?? 0);
            double smaller = Math.Min(compression ?? larger, tension ?? larger);
            if (threshold > larger)
            {
                section.Fault("inspection_threshold", $"{Newtons(threshold)} lies above the limit {Newtons(larger)}, so it would never ask for an inspection in time.", "Give a threshold below the limit.");
            }
            else if (threshold > smaller)
            {
                section.Faults.Warn(section.LineOf("inspection_threshold"), section.PathOf("inspection_threshold"), $"{Newtons(threshold)} lies above the smaller limit {Newtons(smaller)}.", "In that direction the limit is passed before an inspection is asked for.");
            }
        }

        if (strut is not null && compression is { } limit)
        {
            ColumnAllowable allowable = ColumnAllowable.Of(strut);
            if (limit > allowable.LoadN)
            {
                section.Faults.Warn(
                    section.LineOf("compression_limit"),
                    section.PathOf("compression_limit"),
                    $"{Newtons(limit)} lies above the column allowable {Newtons(allowable.LoadN)} ({allowable.Formula}, slenderness {QuantityText.Show(Math.Round(allowable.Slenderness, 1))}).",
                    "Check the strut's dimensions and the limit with its designer.");
            }
            else if (CrookedColumn.FirstYieldN(strut) is var crooked && limit > crooked)
            {
                string bow = strut.CrookednessM is { } measured ? $"its crookedness of {QuantityText.Show(1000 * measured)} mm" : "a crookedness of a thousandth of its length";
                section.Faults.Warn(
                    section.LineOf("compression_limit"),
                    section.PathOf("compression_limit"),
                    $"{Newtons(limit)} lies above {Newtons(crooked)}, at which the edge of the strut first yields with {bow}; a straight one carries {Newtons(allowable.LoadN)} ({allowable.Formula}).",
                    "Ask the designer whether the limit allows for a bow and for load off the joints' centre; a rod that was bent is retired.");
            }
        }
    }

    private static void Weights(CarSection root, CarGeometry? geometry, CarMasses masses, SetupSheet setup, PerCorner<double> weights)
    {
        double fuel = setup.FuelOnScalesKg ?? masses.FuelAtStartKg.Value;
        double mass = masses.WithoutFuelKg.Value + fuel;
        double front = (weights.FrontLeft + weights.FrontRight) / StandardGravity.Mps2;
        double sum = front + ((weights.RearLeft + weights.RearRight) / StandardGravity.Mps2);
        double miss = (sum / mass) - 1;
        string found = $"the corner weights sum to {Kilograms(sum)} while mass and fuel on the scales give {Kilograms(mass)} ({100 * miss:+0.0;-0.0} %).";
        if (Math.Abs(miss) > LargestMassMiss)
        {
            At(root, "setup", "corner_weight_fl", found, "Weigh with driver and stated fuel, or correct mass.without_fuel or setup.fuel_on_scales.");
            return;
        }

        if (Math.Abs(miss) > NoticeableMassMiss)
        {
            Warn(root, "setup.corner_weight_fl", found, "Check the fuel on the scales.");
        }

        if (geometry is null)
        {
            return;
        }

        double sprung = mass - masses.UnsprungKg.Front - masses.UnsprungKg.Rear;
        double ahead = 1 - (geometry.SprungCentreBehindFrontAxleM.Value / geometry.WheelbaseM.Value);
        double expected = ((sprung * ahead) + masses.UnsprungKg.Front) / mass;
        double shareMiss = (front / sum) - expected;
        string shares = $"the corner weights put {100 * front / sum:0.0} % on the front axle while masses and centre of gravity give {100 * expected:0.0} %.";
        if (Math.Abs(shareMiss) > LargestFrontShareMiss)
        {
            At(root, "geometry", "sprung_cg_behind_front_axle", shares, "Correct the centre of gravity, the unsprung masses or the corner weights.");
        }
        else if (Math.Abs(shareMiss) > NoticeableFrontShareMiss)
        {
            Warn(root, "geometry.sprung_cg_behind_front_axle", shares, "Check them; the aero balance moves with this.");
        }
    }

    private static void At(CarSection root, string section, string name, string found, string remedy) =>
        root.Faults.Add(root.LineAt($"{section}.{name}"), $"{section}.{name}", found, remedy);

    private static void Warn(CarSection root, string path, string found, string remedy) =>
        root.Faults.Warn(root.LineAt(path), path, found, remedy);

    private static string Metres(double value) => QuantityText.Show(value) + " m";

    private static string Kilograms(double value) => QuantityText.Show(Math.Round(value, 1)) + " kg";

    private static string Newtons(double value) => QuantityText.Show(Math.Round(value)) + " N";
}
