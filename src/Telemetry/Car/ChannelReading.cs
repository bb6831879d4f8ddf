using System.Collections.Immutable;

namespace Telemetry.Car;

/// <summary>Reads which logged channel plays which role.</summary>
internal static class ChannelReading
{
    /// <summary>The mappings in the order of the file, or null after a fault.</summary>
    public static ImmutableArray<ChannelMapping>? Of(CarSection root)
    {
        if (root.Section("channels") is not { } section)
        {
            return null;
        }

        section.RefuseUnknown(ChannelNames.All);
        var mappings = ImmutableArray.CreateBuilder<ChannelMapping>();
        Dictionary<string, ChannelRole> byName = new(StringComparer.Ordinal);
        foreach (string key in section.Names)
        {
            if (ChannelNames.Role(key) is not { } role)
            {
                continue;
            }

            if (One(section, key, role) is not { } mapping)
            {
                continue;
            }

            if (byName.TryGetValue(mapping.Name, out ChannelRole other))
            {
                section.Fault(key, $"the logged channel \"{mapping.Name}\" already plays {other.Key()}.", "Give each role its own channel.");
            }
            else
            {
                byName.Add(mapping.Name, role);
            }

            mappings.Add(mapping);
        }

        foreach (Corner corner in Corners.All)
        {
            string load = ChannelRoles.PushrodLoad(corner).Key();
            if (!section.Has(load))
            {
                section.Faults.Missing(section.Line, section.PathOf(load), "is missing.", $"All four load cells are needed; map it, such as {load} = \"Name in the log\".");
            }
        }

        return mappings.ToImmutable();
    }

    private static ChannelMapping? One(CarSection channels, string key, ChannelRole role)
    {
        CarNode? node = channels.Node(key, "ROLE");
        if (node is CarText { Value: var plain } && !string.IsNullOrWhiteSpace(plain))
        {
            return new ChannelMapping { Role = role, Name = plain };
        }

        if (node is not CarTable)
        {
            channels.Fault(key, $"{CarSection.Describe(node!)} is no channel.", "Write the channel's name in double quotes, or { name = \"...\", unit = \"...\" }.");
            return null;
        }

        CarSection section = channels.Section(key, "ROLE")!;
        string? name = section.Text("name");
        string? unit = section.Text("unit", allowBlank: true);
        Dimension dimension = ChannelUnits.Of(role);

        // A brake may be logged as pressure or as share; until its unit is known both are right.
        Dimension? or = role == ChannelRole.Brake && unit is null ? Dimension.Share : null;
        if (unit is not null && ChannelUnits.Check(role, unit) is { } wrong)
        {
            section.Fault("unit", wrong.Found, wrong.Remedy);
        }
        else if (unit is not null && role == ChannelRole.Brake && ChannelUnits.SiUnit(role, unit) == "1")
        {
            dimension = Dimension.Share;
        }

        double sign = section.Number("sign") ?? 1;
        if (sign is not (1 or -1))
        {
            section.Fault("sign", $"{QuantityText.Show(sign)} is neither 1 nor -1.", "Write 1, or -1 when the logger counts the other way.");
        }

        (double, double)? range = Range(section, dimension, or);
        double? resolution = Positive(section, "resolution", dimension, or);
        double gain = section.Number("gain_uncertainty") ?? 0;
        string? serial = section.Text("serial");
        double? cutOff = section.Number("logger_cut_off");
        double? threshold = Threshold(section, role, dimension, or);
        bool fromStatic = section.Flag("from_static") ?? false;
        if (section.Has("from_static") && !key.StartsWith("damper_travel", StringComparison.Ordinal))
        {
            section.Fault("from_static", "only damper travel has a static position.", "Remove it.");
        }

        return name is null ? null : new ChannelMapping
        {
            Role = role,
            Name = name,
            Unit = unit,
            Sign = sign < 0 ? -1 : 1,
            Range = range,
            Resolution = resolution,
            GainUncertainty = gain,
            Serial = serial,
            LoggerCutOffHz = cutOff,
            Threshold = threshold,
            IsFromStatic = fromStatic,
        };
    }

    private static (double Low, double High)? Range(CarSection section, Dimension dimension, Dimension? or)
    {
        if (!section.Has("range"))
        {
            return null;
        }

        if (section.Values("range", dimension, or) is not { } ends)
        {
            return null;
        }

        if (ends.Length != 2)
        {
            section.Fault("range", $"has {ends.Length} values.", "Write the lower and the upper end.");
            return null;
        }

        if (ends[0].Dimension != ends[1].Dimension)
        {
            section.Fault("range", "mixes pressure and share.", "Write both ends in the same.");
            return null;
        }

        if (!(ends[1].Value.Value > ends[0].Value.Value))
        {
            section.Fault("range", "the upper end is not above the lower end.", "Write the lower end first.");
            return null;
        }

        return (ends[0].Value.Value, ends[1].Value.Value);
    }

    private static double? Positive(CarSection section, string name, Dimension dimension, Dimension? or)
    {
        // A step of temperature is a difference: its size, without the offset of the scale's zero.
        if (dimension == Dimension.Temperature && section.Node(name) is CarText { Value: var text }
            && QuantityText.Read(text, dimension, out QuantityText.Reading reading) is null)
        {
            return Checked(section, name, reading.Value.Value - reading.Size.Offset);
        }

        return section.Item(name, dimension, or)?.Value.Value is { } value ? Checked(section, name, value) : null;
    }

    private static double? Checked(CarSection section, string name, double value)
    {
        if (value > 0)
        {
            return value;
        }

        section.Fault(name, "is not above 0.", "Write the size of one step.");
        return null;
    }

    private static double? Threshold(CarSection section, ChannelRole role, Dimension dimension, Dimension? or)
    {
        if (!section.Has("threshold"))
        {
            return null;
        }

        if (role != ChannelRole.Brake)
        {
            section.Fault("threshold", "only the brake has a threshold.", "Remove it.");
            return null;
        }

        return section.Item("threshold", dimension, or)?.Value.Value;
    }
}
