namespace OilWatch.Proof.Page;

/// <summary>How the page looks: paper by day, dark by night, A4 when printed, one column on a phone.</summary>
internal static class Style
{
    /// <remarks>Contrast of every text colour against its ground is 4.5:1 or more (WCAG 2.2, 1.4.3); checked by the browser tests.</remarks>
    public const string Css = """
        :root {
          color-scheme: light dark;
          --paper: #f6f5f1; --card: #fff; --ink: #1a1c1e; --soft: #565c63; --line: #d5d2ca; --grid: #e7e5df; --before: #9a3b12; --after: #0d5c63;
          --good-ground: #17613a; --good-ink: #fff; --part-ground: #1f567f; --part-ink: #fff; --bad-ground: #a5121c; --bad-ink: #fff; --open-ground: #f3b52c; --open-ink: #1a1c1e;
        }
        @media screen and (prefers-color-scheme: dark) {
          :root { --paper: #131518; --card: #1b1e22; --ink: #eceae5; --soft: #aab0b7; --line: #3a4047; --grid: #2a2f35; --before: #f0a27a; --after: #6fc7cd; --good-ground: #1f6b42; --bad-ground: #b3222b; }
        }
        * { box-sizing: border-box; }
        html { -webkit-text-size-adjust: 100%; text-size-adjust: 100%; }
        body { margin: 0; background: var(--paper); color: var(--ink); font: 1rem/1.5 system-ui, "Segoe UI", Roboto, "Helvetica Neue", "DejaVu Sans", sans-serif; overflow-wrap: anywhere; }
        footer, .wide { max-width: 62rem; margin: 0 auto; padding: 0 1rem; }
        h1, h2, p, ul, dl, dd { margin: 0; }
        h2 { font-size: 1.4rem; line-height: 1.25; margin: 2.25rem 0 .6rem; }
        ul { padding-left: 1.1rem; } li { padding: .15rem 0; }
        .verdict { padding: 1.1rem 0 1.4rem; }
        .verdict.good { background: var(--good-ground); color: var(--good-ink); } .verdict.part { background: var(--part-ground); color: var(--part-ink); }
        .verdict.bad { background: var(--bad-ground); color: var(--bad-ink); } .verdict.open { background: var(--open-ground); color: var(--open-ink); }
        .verdict h1, .verdict h2 { display: flex; align-items: center; gap: .3em; font-size: clamp(2rem, 8.5vw, 4.5rem); line-height: 1.1; font-weight: 800; margin: .2rem 0 .5rem; overflow-wrap: normal; }
        .mark { width: .9em; height: .9em; flex: none; }
        .shape { fill: none; stroke: currentColor; stroke-width: 3; stroke-linejoin: round; stroke-linecap: round; }
        .headline { font-size: clamp(1.1rem, 3vw, 1.4rem); line-height: 1.35; max-width: 50rem; font-weight: 600; }
        .facts { display: flex; flex-wrap: wrap; gap: 1px; background: var(--line); border: 1px solid var(--line); border-radius: .5rem; overflow: hidden; margin: 1.25rem 0; }
        .facts > div { flex: 1 1 17rem; min-width: min(100%, 17rem); background: var(--card); padding: .7rem .9rem .8rem; }
        .facts dt, .soft, caption { color: var(--soft); font-size: .9rem; } .facts dd { font-size: 1.2rem; line-height: 1.35; font-weight: 600; } .facts dd span { display: block; font-size: .95rem; font-weight: 400; }
        .several { font-size: 1.8rem; line-height: 1.2; margin: 1.2rem 0 .6rem; }
        .scroll { overflow-x: auto; border: 1px solid var(--line); border-radius: .5rem; background: var(--card); margin: .6rem 0; }
        .scroll:focus-visible { outline: 3px solid var(--after); outline-offset: 2px; }
        table { border-collapse: collapse; width: 100%; font-variant-numeric: tabular-nums; font-size: .92rem; line-height: 1.35; overflow-wrap: break-word; }
        caption { text-align: left; padding: .4rem .6rem; } th, td { text-align: right; padding: .35rem .6rem; border-top: 1px solid var(--line); } thead th { color: var(--soft); font-size: .88rem; vertical-align: bottom; }
        th:first-child, td:first-child { text-align: left; } tbody th { font-weight: 600; }
        .card { background: var(--card); border: 1px solid var(--line); border-radius: .5rem; padding: .8rem 1rem; margin: .6rem 0; }
        .key { display: flex; flex-wrap: wrap; gap: .1rem 1.2rem; list-style: none; padding: 0; font-size: .9rem; color: var(--soft); } .key li { display: inline-flex; align-items: center; gap: .45em; } .key svg { flex: none; }
        .plot { padding: 6px 14px 6px 14px; } .plot.left { padding-left: 48px; } .plot svg { display: block; overflow: visible; }
        .axis-title { font-size: .85rem; color: var(--soft); } .axis-title.end { text-align: right; }
        svg text { fill: var(--soft); font-size: 12px; } svg text.name { fill: var(--ink); font-size: 13px; } .bold { font-weight: 700; }
        .at { overflow: visible; } .middle { text-anchor: middle; } .end { text-anchor: end; }
        .axis { stroke: var(--grid); stroke-width: 1; fill: none; } .line { stroke: var(--line); stroke-width: 1; }
        .before { stroke: var(--before); fill: none; stroke-width: 2; stroke-dasharray: 6 3; vector-effect: non-scaling-stroke; }
        .after { stroke: var(--after); fill: none; stroke-width: 2.5; vector-effect: non-scaling-stroke; }
        .after-fill { fill: var(--after); } .before-dot { fill: var(--card); stroke: var(--before); stroke-width: 2; }
        footer { border-top: 3px solid var(--ink); margin-top: 2.25rem; padding-bottom: 2rem; }
        footer h2 { margin-top: 1rem; }
        @media (max-width: 40rem) { table { font-size: .82rem; } thead th { font-size: .8rem; } th, td { padding: .3rem .3rem; } .spare { display: none; } }
        @page { size: A4; margin: 13mm 12mm 14mm; }
        @media print {
          :root { color-scheme: light; --paper: #fff; }
          * { print-color-adjust: exact; -webkit-print-color-adjust: exact; }
          body { font-size: 9.5pt; line-height: 1.4; } footer, .wide { max-width: none; padding: 0 1px; } .verdict .wide { padding: 0 5mm; } .verdict { border-radius: 2mm; padding: 4mm 0; }
          .verdict h1, .verdict h2 { font-size: 34pt; } .headline { font-size: 12pt; } h2 { font-size: 13pt; margin: 5mm 0 2mm; break-after: avoid; } table { font-size: 8pt; } .scroll { overflow: visible; border: 0; }
          .facts > div { flex: 1 1 30%; min-width: 30%; } .facts dd { font-size: 11pt; } .facts dd span { font-size: 9pt; }
          tr, li, .card, .facts { break-inside: avoid; } .card { border-color: #bbb; } thead { display: table-header-group; }
        }
        """;
}
