namespace Telemetry.Output.Report;

/// <summary>How the report looks: light and dark, from 320 px to paper, with system fonts so that the file needs nothing from outside.</summary>
/// <remarks>Text on its ground reaches at least 4.5:1 in both schemes (WCAG 2.2, 1.4.3). No state is told by colour alone: each has its word.</remarks>
internal static class ReportStyle
{
    public const string Css = """
        :root{color-scheme:light dark;--ground:#fff;--raised:#f4f6f8;--ink:#1b2733;--muted:#53606c;--line:#d3dae0;
        --stop:#a3200f;--stop-ground:#fdecea;--warn:#7a4a00;--warn-ground:#fff4e0;--good:#0b6245;--good-ground:#e8f5ef}
        @media(prefers-color-scheme:dark){:root{--ground:#12181f;--raised:#1b232c;--ink:#e6ebf0;--muted:#a3b0bc;--line:#35414d;
        --stop:#ff9c8f;--stop-ground:#3a1a17;--warn:#f3c677;--warn-ground:#352a16;--good:#7fd6b1;--good-ground:#14302a}}
        *{box-sizing:border-box}
        body{margin:0;background:var(--ground);color:var(--ink);overflow-wrap:break-word;font:16px/1.5 system-ui,-apple-system,"Segoe UI",Roboto,"Liberation Sans",sans-serif}
        main{max-width:1080px;margin:0 auto;padding:24px 20px 48px}
        h1{font-size:1.6rem;line-height:1.2;margin:0 0 4px;overflow-wrap:anywhere}
        h2{font-size:1.2rem;margin:40px 0 8px;padding-top:12px;border-top:1px solid var(--line)}
        h3{font-size:1rem;margin:24px 0 6px}
        p{margin:6px 0}
        .muted{color:var(--muted)}
        .small{font-size:.875rem}
        .verdicts{display:grid;grid-template-columns:repeat(auto-fit,minmax(190px,1fr));gap:12px;margin:20px 0;padding:0;list-style:none}
        .verdicts li{min-width:0;overflow-wrap:anywhere;background:var(--raised);border-radius:6px;padding:10px 14px;border-left:4px solid var(--line)}
        .verdicts b{display:block;font-size:1.25rem;line-height:1.3}
        .verdicts .stop{border-color:var(--stop);background:var(--stop-ground)}
        .verdicts .warn{border-color:var(--warn);background:var(--warn-ground)}
        .verdicts .good{border-color:var(--good);background:var(--good-ground)}
        .actions{margin:8px 0 0;padding:0;list-style:none}
        .actions li{border-left:4px solid var(--warn);background:var(--warn-ground);padding:8px 14px;margin:8px 0;border-radius:6px;overflow-wrap:anywhere}
        .actions li.stop{border-color:var(--stop);background:var(--stop-ground)}
        .actions .when{font-weight:600}
        .stop .when,b.stop,td.stop{color:var(--stop)}.warn .when,b.warn,td.warn{color:var(--warn)}b.good,td.good{color:var(--good)}
        td.stop,td.warn{font-weight:600}
        .scroll{overflow-x:auto;margin:8px 0}
        table{border-collapse:collapse;font-size:.875rem;font-variant-numeric:tabular-nums}
        caption{text-align:left;color:var(--muted);padding:0 0 4px}
        th,td{padding:4px 18px 4px 0;text-align:left;vertical-align:top;border-bottom:1px solid var(--line)}
        th{font-weight:600;vertical-align:bottom}
        th .unit{display:block;font-weight:400;color:var(--muted)}
        .many th,.many td{padding-right:10px}
        .n{text-align:right;white-space:nowrap}
        td.text{min-width:9rem;max-width:28rem;overflow-wrap:break-word}
        td.brief{min-width:0;white-space:nowrap}
        td.long{min-width:16rem}
        tr:has(+ .said) td{border-bottom:0}
        .said td{padding-top:0}
        .said div{position:sticky;left:0;width:fit-content;max-width:min(44rem,calc(100vw - 40px));overflow-wrap:anywhere}
        .said b{font-weight:600;color:var(--muted)}
        figure{margin:16px 0;break-inside:avoid}
        figure img{display:block;width:100%;height:auto;background:#fff;border:1px solid var(--line);border-radius:6px}
        figcaption{color:var(--muted);font-size:.875rem;margin-top:4px}
        ul.notes{margin:6px 0;padding-left:1.2rem}
        .scroll:focus-visible{outline:2px solid var(--ink);outline-offset:2px}
        @media print{:root{color-scheme:light;--ground:#fff;--raised:#fff;--ink:#000;--muted:#333;--line:#999;--stop:#8a1a0c;--stop-ground:#fff;--warn:#5f3a00;--warn-ground:#fff;--good:#084c36;--good-ground:#fff}
        body{font-size:10pt}main{max-width:none;padding:0}.scroll{overflow:visible}h2,h3,caption,thead{break-after:avoid}tr{break-inside:avoid}tr:has(+ .said){break-after:avoid}.said div{max-width:none}
        table{font-size:8pt;width:100%}td.text,td.long{min-width:0}td.brief{white-space:normal}.n{white-space:normal}th,td{padding-right:6px}.many th,.many td{padding-right:5px}.many table{font-size:6pt}.sideways{page:sideways}}
        @page sideways{size:landscape}
        """;
}
