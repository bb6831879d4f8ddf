using System.Collections.Immutable;

namespace Telemetry.Car;

/// <summary>Reads ratios, springs and third elements of both axles.</summary>
internal static class SuspensionReading
{
    /// <summary>Both axles, or null after a fault.</summary>
    public static PerAxle<AxleSuspension>? Of(CarSection root)
    {
        if (root.Section("suspension") is not { } section)
        {
            return null;
        }

        section.RefuseUnknown(["front", "rear"]);
        AxleSuspension? front = section.Section("front", "AXLE") is { } f ? OneAxle(f) : null;
        AxleSuspension? rear = section.Section("rear", "AXLE") is { } r ? OneAxle(r) : null;
        return front is not null && rear is not null ? new(front, rear) : null;
    }

    private static AxleSuspension? OneAxle(CarSection section)
    {
        RatioCurve? installation = Ratio(section, "installation_ratio");
        RatioCurve? damper = Ratio(section, "damper_ratio");
        double braking = section.Number("linkage_share_braking") ?? 0;
        double driving = section.Number("linkage_share_driving") ?? 0;
        double? spring = section.Number("spring_rate");
        double? bar = section.Number("anti_roll_bar_rate");
        double? tyre = section.Number("tyre_rate");
        ThirdElement? third = section.Section("third_element") is { } element ? Third(element) : null;
        if (installation is null || damper is null)
        {
            return null;
        }

        return new AxleSuspension
        {
            InstallationRatio = installation,
            DamperRatio = damper,
            LinkageShareBraking = braking,
            LinkageShareDriving = driving,
            SpringRateNpm = spring,
            AntiRollBarRateNpm = bar,
            TyreRateNpm = tyre,
            Third = third,
        };
    }

    internal static RatioCurve? Ratio(CarSection section, string name)
    {
        if (section.Node(name) is not CarTable)
        {
            return section.Has(name) && section.Measured(name) is { } constant
                ? RatioCurve.Constant(constant.Value, constant.StandardUncertainty / constant.Value)
                : null;
        }

        if (section.Section(name) is not { } table)
        {
            return null;
        }

        double uncertainty = table.Number("uncertainty") ?? 0;
        ImmutableArray<CarValue.Item>? ratios = table.Values("ratio");
        ImmutableArray<CarValue.Item>? travels = table.Values("damper_travel");
        if (ratios is not { } values)
        {
            return null;
        }

        if (!table.Has("damper_travel"))
        {
            if (values.Length == 1)
            {
                return RatioCurve.Constant(values[0].Value.Value, uncertainty);
            }

            table.Faults.Missing(table.Line, table.PathOf("damper_travel"), "is missing while several ratios are given.", "Give the damper travel of each ratio, or one ratio only.");
            return null;
        }

        if (travels is not { } at || !SameLength(table, "damper_travel", at.Length, "ratio", values.Length) || !Rises(table, "damper_travel", at))
        {
            return null;
        }

        if (at.Length > 1 && !(at[0].Value.Value <= 0 && at[^1].Value.Value >= 0))
        {
            table.Fault("damper_travel", "the table does not cover 0 mm, the static position.", "Measure damper travel from the static position, bump positive.");
            return null;
        }

        return RatioCurve.Table([.. at.Select((t, i) => new RatioPoint(t.Value.Value, values[i].Value.Value))], uncertainty);
    }

    private static ThirdElement? Third(CarSection section)
    {
        double? rate = section.Number("spring_rate");
        double gap = section.Number("spring_gap") ?? 0;
        double? rubberGap = section.Number("rubber_gap");
        ImmutableArray<ForcePoint> rubber = section.Section("rubber") is { } curve ? Rubber(curve) : [];
        if (section.Has("rubber_gap") != section.Has("rubber"))
        {
            (string here, string other) = section.Has("rubber") ? ("rubber_gap", "rubber") : ("rubber", "rubber_gap");
            section.Faults.Missing(section.Line, section.PathOf(here), $"is missing while {other} is given.", "Give both, or neither.");
        }

        return rate is { } springRate ? new ThirdElement(springRate, gap, rubberGap, rubber) : null;
    }

    private static ImmutableArray<ForcePoint> Rubber(CarSection section)
    {
        if (section.Values("compression") is not { } compressions || section.Values("force") is not { } forces
            || !SameLength(section, "compression", compressions.Length, "force", forces.Length)
            || !Rises(section, "compression", compressions) || !Rises(section, "force", forces))
        {
            return [];
        }

        if (compressions.Length < 2 || compressions[0].Value.Value != 0 || forces[0].Value.Value != 0)
        {
            section.Fault("compression", "the curve must start at 0 mm and 0 N and have at least two points.", "Add the point where the rubber is just touched.");
            return [];
        }

        return [.. compressions.Select((c, i) => new ForcePoint(c.Value.Value, forces[i].Value.Value))];
    }

    /// <summary>Notes a fault unless two lists belong together.</summary>
    internal static bool SameLength(CarSection section, string first, int firstCount, string second, int secondCount)
    {
        if (firstCount == secondCount)
        {
            return true;
        }

        section.Fault(first, $"has {firstCount} values while {second} has {secondCount}.", "Give one for each of the other.");
        return false;
    }

    /// <summary>Notes a fault at the first value that does not rise.</summary>
    internal static bool Rises(CarSection section, string name, ImmutableArray<CarValue.Item> values)
    {
        for (int i = 1; i < values.Length; i++)
        {
            if (!(values[i].Value.Value > values[i - 1].Value.Value))
            {
                section.Faults.Add(values[i].Line, section.PathOf(name), $"value {i + 1} does not rise above the one before it.", "List the values rising.");
                return false;
            }
        }

        return true;
    }
}
