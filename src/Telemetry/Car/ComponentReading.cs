using System.Collections.Immutable;

namespace Telemetry.Car;

/// <summary>Reads the parts whose limits and life are followed.</summary>
internal static class ComponentReading
{
    /// <summary>All components without a fault, in the order of the file.</summary>
    public static ImmutableArray<ComponentDefinition> Of(CarSection root)
    {
        var components = ImmutableArray.CreateBuilder<ComponentDefinition>();
        Dictionary<string, int> lines = new(StringComparer.Ordinal);
        foreach (CarSection section in root.Sections("components"))
        {
            string? id = section.Text("id");
            if (id is not null && !lines.TryAdd(id, section.LineOf("id")))
            {
                section.Fault("id", $"\"{id}\" is already the id of the component on line {lines[id]}.", "Give each part its own serial number; the life ledger is kept by it.");
            }

            if (One(section, id) is { } component)
            {
                components.Add(component);
            }
        }

        return components.ToImmutable();
    }

    private static ComponentDefinition? One(CarSection section, string? id)
    {
        string? description = section.Text("description");
        string? partNumber = section.Text("part_number");
        Corner? corner = section.Text("corner") is { } code ? Corners.FromCode(code) : null;
        ImmutableArray<LoadTerm> load = Load(section, corner);
        double? compression = section.Number("compression_limit");
        double? tension = section.Number("tension_limit");
        double? inspection = section.Number("inspection_threshold");
        double factor = section.Number("limit_factor") ?? 1;
        StrutDefinition? strut = section.Section("strut") is { } tube ? Strut(tube) : null;
        FatigueDefinition? fatigue = section.Section("fatigue") is { } strength ? FatigueReading.Of(strength) : null;
        CarPlausibility.OfLimits(section, compression, tension, inspection, strut);
        if (id is null || description is null || load.IsEmpty)
        {
            return null;
        }

        return new ComponentDefinition
        {
            Id = id,
            Description = description,
            PartNumber = partNumber,
            Corner = corner,
            Load = load,
            CompressionLimitN = compression,
            TensionLimitN = tension,
            InspectionThresholdN = inspection,
            LimitFactor = factor,
            Strut = strut,
            Fatigue = fatigue,
        };
    }

    private static ImmutableArray<LoadTerm> Load(CarSection section, Corner? corner)
    {
        if (!section.Has("load"))
        {
            if (corner is { } own)
            {
                return [new LoadTerm(LoadSource.PushrodLoad, own, 1)];
            }

            if (!section.Has("corner"))
            {
                section.Faults.Missing(section.Line, section.PathOf("load"), "is missing, and so is corner.", "Give the corner, or load = [{ source = \"pushrod\", corner = \"FL\", factor = 1.0 }].");
            }

            return [];
        }

        var terms = ImmutableArray.CreateBuilder<LoadTerm>();
        foreach (CarSection term in section.Sections("load"))
        {
            string? source = term.Text("source");
            Corner? at = term.Text("corner") is { } code ? Corners.FromCode(code) : corner;
            double factor = term.Number("factor") ?? 1;
            if (at is null && !term.Has("corner"))
            {
                term.Faults.Missing(term.Line, term.PathOf("corner"), "is missing, and the component has no corner of its own.", "Write corner = \"FL\", \"FR\", \"RL\" or \"RR\".");
            }

            if (factor == 0)
            {
                term.Fault("factor", "is 0, so the term adds nothing.", "Correct it, or remove the term.");
            }

            if (source is not null && at is { } place && Term(term, source, place, factor) is { } read)
            {
                terms.Add(read);
            }
        }

        if (section.Node("load") is CarList { Items.Count: 0 })
        {
            section.Fault("load", "the list is empty.", "Give at least one term, or leave it out to take the corner's pushrod load.");
        }

        if (terms.Count > 0 && !terms.Any(term => term.Source != LoadSource.Constant))
        {
            section.Fault("load", "holds only constants, so it never changes.", "Add a term that is measured.");
        }

        return terms.ToImmutable();
    }

    /// <summary>One term; null after a fault. Each source takes the fields of its own dimension and refuses the others', so that no unit is mistaken.</summary>
    private static LoadTerm? Term(CarSection term, string source, Corner corner, double factor)
    {
        LoadSource kind = source.ToUpperInvariant() switch
        {
            "PUSHROD" => LoadSource.PushrodLoad,
            "WHEEL_LOAD" => LoadSource.WheelLoad,
            "DAMPER_TRAVEL" => LoadSource.DamperTravel,
            _ => LoadSource.Constant,
        };
        string? needed = kind switch { LoadSource.DamperTravel => "rate", LoadSource.Constant => "force", _ => null };
        foreach (string name in (ReadOnlySpan<string>)["rate", "force"])
        {
            if (name == needed && !term.Has(name))
            {
                term.Faults.Missing(term.Line, term.PathOf(name), $"is missing, and source = \"{source}\" needs it.", name == "rate" ? "Write rate = \"120 N/mm\"." : "Write force = \"350 N\".");
            }
            else if (name != needed && term.Has(name))
            {
                term.Fault(name, $"does not belong to source = \"{source}\".", needed is null ? "Use factor, a number: N on the part per N of the signal." : $"Give {needed} instead.");
            }
        }

        if (kind == LoadSource.Constant && term.Has("ratio"))
        {
            term.Fault("ratio", "does not belong to a constant load.", "Leave it out, or take the load from a signal.");
            return null;
        }

        RatioCurve? ratio = SuspensionReading.Ratio(term, "ratio");
        double? size = needed is null ? 1 : term.Number(needed);
        return size is { } given ? new LoadTerm(kind, corner, factor * given) { Ratio = ratio } : null;
    }

    private static StrutDefinition? Strut(CarSection section)
    {
        double? length = section.Number("length");
        double? diameter = section.Number("outer_diameter");
        double? wall = section.Number("wall");
        double? modulus = section.Number("youngs_modulus");
        double? yield = section.Number("yield_strength");
        double fixity = section.Number("end_fixity") ?? 1;
        double? crookedness = section.Number("crookedness");
        if (length is not { } l || diameter is not { } d || wall is not { } t || modulus is not { } e || yield is not { } s)
        {
            return null;
        }

        if (t > d / 2)
        {
            section.Fault("wall", "is more than half the outer diameter.", "Write half the diameter for a solid rod.");
            return null;
        }

        if (s > e / 50)
        {
            section.Fault("yield_strength", "is more than a fiftieth of the elastic modulus, which no metal or laminate has.", "Correct one of the two.");
            return null;
        }

        return new StrutDefinition(l, d, t, e, s, fixity) { CrookednessM = crookedness };
    }
}
