namespace Telemetry.Output.Days;

/// <summary>What the day's page adds to the report's style: cards of small pictures. Marks have a shape and a dash each, so that no series is told by colour alone.</summary>
/// <remarks>Colours are of the palette of Okabe and Ito as in the pictures, lighter ones on a dark ground; at least 3:1 against it (WCAG 2.2, 1.4.11).</remarks>
internal static class DayStyle
{
    public const string Css = """
        :root{--s0:#0072b2;--s1:#d55e00;--s2:#00805d;--s3:#a0527e}
        @media(prefers-color-scheme:dark){:root{--s0:#56b4e9;--s1:#f0894a;--s2:#3cc79b;--s3:#e0a0c4}}
        .trends{display:grid;grid-template-columns:repeat(auto-fit,minmax(min(320px,100%),1fr));gap:16px;margin:12px 0}
        .trends figure{margin:0;background:var(--raised);border-radius:6px;padding:10px 12px}
        .trends h3{margin:0}
        .trends svg{display:block;width:100%;height:auto}
        .trends text{fill:var(--ink);font-size:13px}
        .trends .tick{fill:var(--muted)}
        .trends .grid{stroke:var(--line);stroke-width:1}
        td .unit{display:block;font-weight:400;color:var(--muted)}td.when{white-space:nowrap}
        th,td{padding-right:10px}td.text{min-width:0}
        td .unit.wraps{min-width:14rem;white-space:normal;overflow-wrap:anywhere}
        .s0{--c:var(--s0)}.s1{--c:var(--s1)}.s2{--c:var(--s2)}.s3{--c:var(--s3)}
        .bar,.path{stroke:var(--c);fill:none;stroke-width:2}
        .path{stroke-width:1.5;opacity:.7}
        .s1 .path{stroke-dasharray:7 4}.s2 .path{stroke-dasharray:2 3}.s3 .path{stroke-dasharray:9 3 2 3}
        .mark{fill:var(--c)}
        .key{display:flex;flex-wrap:wrap;gap:2px 14px;margin:2px 0 0;padding:0;list-style:none;font-size:.875rem;overflow-wrap:anywhere}
        .key svg{display:inline-block;width:14px;height:14px;vertical-align:-2px;margin-right:5px}
        a{color:inherit;text-underline-offset:2px}
        a:focus-visible{outline:2px solid var(--ink);outline-offset:2px}
        .failed{border-left:4px solid var(--stop);background:var(--stop-ground);padding:8px 14px;margin:8px 0;border-radius:6px;overflow-wrap:anywhere}
        @media print{.trends{grid-template-columns:1fr 1fr}}
        """;
}
