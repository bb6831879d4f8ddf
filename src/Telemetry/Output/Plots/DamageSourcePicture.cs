using ScottPlot;
using ScottPlot.TickGenerators;
using Telemetry.Fatigue;
using Telemetry.Output.Tables;
using Telemetry.Review;

namespace Telemetry.Output.Plots;

/// <summary>Where the damage came from: by phase for every part, by place on the lap for the part that the run cost the most.</summary>
internal static class DamageSourcePicture
{
    public const string Name = "damage_by_phase_and_place";
    private const int MostParts = 8;

    /// <summary>In the order of <see cref="DrivingPhase"/>.</summary>
    private static readonly (Color Color, bool IsHatched)[] Phases = [(Look.Sky, false), (Look.Orange, true), (Look.Blue, false), (Look.Vermillion, true)];

    public static Sketch Draw(RunReview review)
    {
        ComponentResult[] all = [.. review.Fatigue.Components.Where(c => c.DamageRun > 0 && !c.DamageByCycle.IsDefaultOrEmpty)
            .OrderByDescending(c => c.DamageRun!.Value / (c.Component.Fatigue?.CriticalDamage ?? 1))];
        if (all.Length == 0)
        {
            return Sketch.Without(Name, review.Fatigue.WithheldBecause ?? "No component has damage of this run.");
        }

        ComponentResult[] shown = all[..Math.Min(all.Length, MostParts)];
        DamageSource[] sources = [.. shown.SelectMany(part => review.DamageSources.Where(source => source.ComponentId == part.Component.Id))];
        if (sources.Length < shown.Length || sources[0].ByPhase is null || sources[0].ByPlace is not { } places)
        {
            return Sketch.Without(Name, "The log has no signal for corners (lateral acceleration or yaw rate), or no distance along the lap.");
        }

        KeyDamage[] byPlace = [.. places.ByKey.OrderBy(k => k.Key)];
        KeyDamage worst = byPlace.MaxBy(k => k.Damage);
        string title = $"{Say.Name(shown[0].Component.Id)}: {Say.SmallPercent(100 * worst.Damage / shown[0].DamageRun!.Value)} of its damage comes from "
            + $"{Say.Number(worst.Key * DamageSource.PieceM, 0)} to {Say.Number((worst.Key + 1) * DamageSource.PieceM, 0)} m of the lap";
        Figure figure = new(Name, title, Look.Subtitle(review, "estimate; a cycle's damage is shared equally between the places of its two turning points"),
            $"Left: stacked bars of the share of damage by phase, one for each of {Say.Count(shown.Length, "component")}. Right: damage by place on the lap. {title}.");
        AddPhases(figure, shown, sources);
        AddPlaces(figure, shown[0], byPlace, worst);
        for (int phase = 0; phase < Phases.Length; phase++)
        {
            figure.Explain(LegendEntry.Area(DamageTables.PhaseName(phase), Phases[phase].Color, Phases[phase].IsHatched));
        }

        string hidden = all.Length > shown.Length ? $" The {shown.Length} of {all.Length} components that this run cost the most." : "";
        figure.Footnote = $"Kerb goes before braking, braking before corner. A charge says where damage arose, not what would be saved.{hidden}";
        return Sketch.Of(figure);
    }

    private static void AddPhases(Figure figure, ComponentResult[] parts, DamageSource[] sources)
    {
        FigurePanel panel = figure.AddPanel(new(0, 0, 0.48, 1), "Share of the damage of the run (%)", "", "By phase of driving");
        panel.Room = new(190, 20, 78, 40);
        List<Block> blocks = [];
        NumericManual ticks = new();
        for (int i = 0; i < parts.Length; i++)
        {
            DamageCharges charges = sources[i].ByPhase!;
            double left = 0;
            for (int phase = 0; phase < Phases.Length; phase++)
            {
                double share = 100 * charges.ByKey.Where(k => k.Key == phase).Sum(k => k.Damage) / parts[i].DamageRun!.Value;
                blocks.Add(new(left, left + share, -i - 0.36, -i + 0.36, Phases[phase].Color, Phases[phase].IsHatched));
                left += share;
            }

            ticks.AddMajor(-i, Say.Name(parts[i].Component.Id, 16));
        }

        panel.Plot.Add.Plottable(new Blocks(blocks));
        panel.Plot.Axes.Left.TickGenerator = ticks;
        panel.Plot.Grid.YAxisStyle.IsVisible = false;
        panel.Plot.Axes.SetLimits(0, 100, -parts.Length + 0.4, 0.6);
    }

    private static void AddPlaces(Figure figure, ComponentResult part, KeyDamage[] byPlace, KeyDamage worst)
    {
        FigurePanel panel = figure.AddPanel(new(0.48, 0, 1, 1), "Distance along the lap (m)", "Damage of all laps (% of life)", $"By place: {Say.Name(part.Component.Id, 22)}");
        panel.Room = new(150, 24, 78, 40);
        double scale = 100 / (part.Component.Fatigue?.CriticalDamage ?? 1);
        panel.Plot.Add.Plottable(new Blocks([.. byPlace.Select(k => new Block(
            k.Key * DamageSource.PieceM, (k.Key + 1) * DamageSource.PieceM, 0, scale * k.Damage, k.Key == worst.Key ? Look.Vermillion : Look.Blue, k.Key == worst.Key))]) { LeastWidthPx = 2, GapPx = 1 });
        panel.Plot.Grid.XAxisStyle.IsVisible = false;
        panel.Plot.Axes.SetLimits(0, (byPlace[^1].Key + 1) * DamageSource.PieceM, 0, worst.Damage > 0 ? 1.1 * scale * worst.Damage : 1);
    }
}
