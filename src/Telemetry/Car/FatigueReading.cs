namespace Telemetry.Car;

/// <summary>Reads fatigue strength: the S-N line in one of its forms, and the safety put on top.</summary>
internal static class FatigueReading
{
    /// <summary>A spot with less is not loaded by the part, Pa/N: a section of a square metre.</summary>
    private const double LeastStressPerLoad = 1;

    /// <summary>The strength, or null after a fault.</summary>
    public static FatigueDefinition? Of(CarSection section)
    {
        (SnLine Line, Dimension Dimension)? read = section.Section("line") is { } form ? SnLineReading.Of(form) : null;
        double? stress = section.Number("stress_per_load");
        if (stress is { } size && Math.Abs(size) < LeastStressPerLoad)
        {
            section.Fault("stress_per_load", "is as good as nothing: no load would make a stress.", "Give the stress at the spot per load on the part, such as \"11.5 MPa/kN\"; negative where compression pulls the spot.");
        }

        MeanStressRule rule = Rule(section.Text("mean_stress"));
        CarValue.Item? ultimate = section.Item("ultimate_strength");
        double? gamma = section.Number("walker_gamma");
        double loadFactor = section.Number("load_factor") ?? 1;
        double critical = section.Number("critical_damage") ?? 1;
        double smallest = section.Number("smallest_range") ?? 0;
        double? scatter = section.Number("life_scatter");
        double? survival = section.Number("survival");
        double lineSurvival = section.Number("line_survival") ?? 0.5;
        Needs(section, "survival", section.Has("life_scatter"), "life_scatter is given");
        if (section.Has("line_survival") && !section.Has("life_scatter"))
        {
            section.Fault("line_survival", "has no use unless life_scatter is given.", "Remove it, or give life_scatter and survival.");
        }
        else if (survival < lineSurvival)
        {
            section.Fault("survival", "is below line_survival, which would make the line longer-lived than it was given.", "Give a survival at or above line_survival.");
        }

        Needs(section, "ultimate_strength", rule is MeanStressRule.Goodman or MeanStressRule.Gerber, "the mean-stress rule is goodman or gerber");
        Needs(section, "walker_gamma", rule == MeanStressRule.Walker, "the mean-stress rule is walker");
        if (read is not { } line)
        {
            return null;
        }

        Needs(section, "stress_per_load", line.Dimension == Dimension.Pressure, "the S-N line is in stress");
        if (ultimate is { } strength)
        {
            if (strength.Dimension != line.Dimension)
            {
                section.Fault("ultimate_strength", $"is {Units.Word(strength.Dimension)} while the S-N line is in {Units.Word(line.Dimension)[2..]}.", "Give both in the same.");
            }
            else if (strength.Value.Value <= line.Line.Points[0].Range / 2)
            {
                section.Faults.Warn(section.LineOf("ultimate_strength"), section.PathOf("ultimate_strength"), "lies below the amplitude of the S-N line's first point.", "Check both.");
            }
        }

        return new FatigueDefinition
        {
            Line = line.Line,
            StressPerLoadPaPerN = line.Dimension == Dimension.Pressure ? stress : null,
            MeanRule = rule,
            UltimateStrength = ultimate?.Value.Value,
            WalkerGamma = gamma,
            LoadFactor = loadFactor,
            LifeScatterLog10 = scatter,
            Survival = survival ?? 0.5,
            LineSurvival = lineSurvival,
            CriticalDamage = critical,
            SmallestRangeN = smallest,
        };
    }

    private static MeanStressRule Rule(string? text) => text?.ToLowerInvariant() switch
    {
        "goodman" => MeanStressRule.Goodman,
        "gerber" => MeanStressRule.Gerber,
        "smith_watson_topper" => MeanStressRule.SmithWatsonTopper,
        "walker" => MeanStressRule.Walker,
        _ => MeanStressRule.None,
    };

    /// <summary>A field that goes with a choice: there exactly when the choice is made.</summary>
    private static void Needs(CarSection section, string name, bool isNeeded, string because)
    {
        if (isNeeded && !section.Has(name))
        {
            section.Faults.Missing(section.Line, section.PathOf(name), $"is missing; {because}.", "Add it.");
        }
        else if (!isNeeded && section.Has(name))
        {
            section.Fault(name, $"has no use unless {because}.", "Remove it, or correct the other field.");
        }
    }
}
