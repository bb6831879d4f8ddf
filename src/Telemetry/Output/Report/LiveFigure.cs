using System.Collections.Immutable;
using Telemetry.Output.Tables;
using Telemetry.Review;

namespace Telemetry.Output.Report;

/// <summary>Everything that sections need to show their figures and tables.</summary>
/// <param name="Pictures">Still pictures, for paper and for readers without a script.</param>
/// <param name="Live">Names of the still pictures that have a living figure on this page; the script puts that one in their place.</param>
/// <param name="Tables">The run's tables, as the files beside the page hold them.</param>
/// <param name="HeightCells">The map of both ride heights.</param>
internal sealed record ReportFigures(IReadOnlyList<ReportPicture> Pictures, IReadOnlySet<string> Live, ImmutableArray<ResultTable> Tables, Lazy<HeightCells> HeightCells)
{
    /// <summary>A table by its name.</summary>
    public ResultTable Table(string name) => Tables.First(table => table.Name == name);

    /// <summary>True when the picture was drawn.</summary>
    public bool Has(string name) => Pictures.Any(picture => picture.Name == name);

    /// <summary>What the still picture finds, so that the living one says the same; else what it shows.</summary>
    public string Title(string name, string otherwise) => Pictures.FirstOrDefault(picture => picture.Name == name)?.Title ?? otherwise;
}

/// <summary>Frames of the figures that the script brings to life: hidden until it does.</summary>
internal static class LiveFigure
{
    private const string Keys = "Keys when it has the focus: arrows left and right move, up and down zoom, with shift they move the view, escape shows the whole. Drag to zoom, double click for the whole.";

    /// <summary>An empty frame that the script draws a plot into.</summary>
    /// <param name="id">Its id, which the script and the tests know it by.</param>
    /// <param name="still">Name of the still picture that tells the same.</param>
    /// <param name="label">What is drawn.</param>
    /// <param name="figures">The page's figures.</param>
    public static Html Plot(string id, string still, string label, ReportFigures figures) => Html.Of($"""
        <div class="{Class("live", figures.Has(still))}" id="{id}" hidden tabindex="0" role="group" aria-label="{label}">
        <h3>{figures.Title(still, label)}</h3><div class="tools"></div><div class="panels"></div><p class="place"></p><p class="muted small">{Keys}</p></div>
        """);

    /// <summary>A drawing made here, which needs the script for a closer look only.</summary>
    public static Html Drawing(string id, string still, string label, string remark, ReportFigures figures, Html svg) => Html.Of($"""
        <div class="{Class("live drawing", figures.Has(still))}" id="{id}" hidden tabindex="0" role="group" aria-label="{label}">
        <h3>{figures.Title(still, label)}</h3><div class="tools"></div><div class="draw" tabindex="0" role="region" aria-label="{label}, drawing">{svg}</div><p class="muted small">{remark} Up and down zoom, left and right move, escape shows the whole.</p></div>
        """);

    /// <summary>The linked panels of channels.</summary>
    public static Html Channels(RunReview review, ReportTraces traces)
    {
        if (traces.Channels.IsEmpty)
        {
            return Html.None;
        }

        double seconds = traces.Grid.Size * review.Run.Clock.StepS;
        bool all = traces.Packed.All(packed => packed.Gzip.Length > 0);
        Html steps = Html.Join(traces.Channels.Zip(traces.Packed).Select(pair => Html.Of(
            $"<tr><th scope=\"row\">{pair.First.Name}</th><td class=\"n\">{NumberText.Small(pair.Second.HalfStep * pair.First.Scale)}</td><td>{pair.First.Unit}</td><td>{(pair.Second.Gzip.Length > 0 ? "every sample" : "lowest and highest only")}</td></tr>")));
        return Html.Of($"""
            <h2 id="channels-title">Channels</h2>
            <p class="muted small no-script">Drawing channels needs a browser that runs the script of this page; every channel is in channels.parquet.</p>
            <div class="live" id="channels" hidden tabindex="0" role="group" aria-labelledby="channels-title">
            <div class="tools"></div>
            <p class="place" id="channels-place"></p><p class="heard" id="channels-said" aria-live="polite"></p>
            <div class="panels"></div>
            <p class="muted small">Drag across a panel to zoom, double click for the whole; all panels move together. Keys when they have the focus: left and right move the cursor, up and down zoom about it, with shift left and right move the view, escape shows the whole. A triangle marks a kerb strike of that corner. The whole lap is drawn from the lowest and the highest sample of each {NumberText.Fixed(seconds * 1000, 0)} ms{(all ? ", a closer look from every sample" : ", a closer look from every sample where the table says so")}.</p>
            <details id="channels-table"><summary>The numbers of what is drawn</summary><div class="scroll" tabindex="0" role="region" aria-label="Lowest and highest sample shown"></div></details>
            <details id="channels-steps"><summary>How exactly the page holds each channel</summary>
            <p class="small">Values are kept in even steps, so each is within half a step of the log's; channels.parquet holds them in full.</p>
            <div class="scroll" tabindex="0" role="region" aria-label="Half a step of each channel"><table><thead><tr><th scope="col">Channel</th><th scope="col" class="n">Half a step</th><th scope="col">Unit</th><th scope="col">Kept</th></tr></thead><tbody>{steps}</tbody></table></div></details>
            </div>
            """);
    }

    /// <summary>What the script reads and the script itself: after all that is seen, the many samples last.</summary>
    public static Html Scripts(RunReview review, ReportTraces traces) => Html.Of($"""
        <script type="application/json" id="figures">{Html.Data(FigureData.Of(review, traces))}</script>
        <script>{Html.Resource(ReportScript.Chart)}</script>
        <script>{Html.Resource(ReportScript.Script)}</script>
        {Html.Join(traces.Packed.Select((packed, i) => packed.Gzip.IsEmpty ? Html.None : Html.Of($"<script type=\"text/plain\" id=\"samples-{i}\">{Html.Base64(packed.Gzip)}</script>")))}
        """);

    /// <summary>The licence of the chart library asks to stand in every copy.</summary>
    public static Html Licence() => Html.Of($"<details><summary>Licence of the chart library in this page (uPlot)</summary><pre class=\"small\">{ReportScript.Licence}</pre></details>");

    private static string Class(string name, bool hasStill) => hasStill ? name + " has-still" : name;
}
