namespace OilWatch.Report.Markup;

/// <summary>How the pages look: on a phone, on a wide screen, in the dark and on A4.</summary>
internal static class PageStyle
{
    /// <summary>The style sheet. It names no file and no address.</summary>
    /// <remarks>Contrast of every text colour against its ground is 4.5:1 or more (WCAG 2.2, 1.4.3); checked by the browser tests.</remarks>
    public const string Sheet = """

        :root {
          color-scheme: light dark;
          --paper: #f6f5f1; --card: #fff; --ink: #1a1c1e; --soft: #565c63; --rule: #d5d2ca; --grid: #e7e5df;
          --healthy: #1c5fa6; --warning: #a5121c; --caution: #7d4f00; --advisory: #2b587f; --good: #17613a; --second: #6b4a9c;
          --stop-ground: #a5121c; --stop-ink: #fff; --watch-ground: #f3b52c; --watch-ink: #1a1c1e; --clear-ground: #17613a; --clear-ink: #fff;
        }
        @media screen and (prefers-color-scheme: dark) {
          :root {
            --paper: #131518; --card: #1b1e22; --ink: #eceae5; --soft: #aab0b7; --rule: #3a4047; --grid: #2a2f35;
            --healthy: #7cb6f2; --warning: #ff9089; --caution: #f1bb55; --advisory: #93bde4; --good: #80d09c; --second: #c3a6f0;
            --stop-ground: #b3222b; --clear-ground: #1f6b42;
          }
        }
        * { box-sizing: border-box; }
        html { -webkit-text-size-adjust: 100%; text-size-adjust: 100%; }
        body { margin: 0; background: var(--paper); color: var(--ink); font: 1rem/1.5 system-ui, "Segoe UI", Roboto, "Helvetica Neue", "DejaVu Sans", sans-serif; overflow-wrap: anywhere; }
        .wide { max-width: 74rem; margin: 0 auto; padding: 0 1rem; }
        a { color: var(--healthy); }
        .skip { position: absolute; left: -100rem; }
        .skip:focus { left: 1rem; top: .5rem; background: var(--card); padding: .5rem; z-index: 1; }
        h1, h2, h3, p, dl, dd, ul, ol, figure { margin: 0; }
        h2 { font-size: 1.5rem; line-height: 1.25; margin-bottom: .75rem; }
        h3 { font-size: 1.1rem; line-height: 1.3; }
        .pair h3:not(:first-child) { margin-top: 1.1rem; }
        section { margin: 2.25rem 0; }
        .lead { max-width: 46rem; margin-bottom: .75rem; }
        .soft, figcaption { color: var(--soft); font-size: .9rem; }
        .shapes { position: absolute; }

        .verdict { padding: 1.25rem 0 1.5rem; }
        .verdict.stop { background: var(--stop-ground); color: var(--stop-ink); }
        .verdict.watch { background: var(--watch-ground); color: var(--watch-ink); }
        .verdict.clear { background: var(--clear-ground); color: var(--clear-ink); }
        .verdict .run { font-size: .95rem; }
        .verdict h1 { display: flex; align-items: center; gap: .3em; font-size: clamp(3.4rem, 13vw, 6.5rem); line-height: 1.05; letter-spacing: .01em; font-weight: 800; margin: .35rem 0 .5rem; }
        .verdict h1 svg { width: .8em; height: .8em; flex: none; fill: none; stroke: currentColor; stroke-width: 9; stroke-linejoin: round; stroke-linecap: round; }
        .verdict .headline { font-size: clamp(1.2rem, 3.2vw, 1.6rem); line-height: 1.35; max-width: 50rem; font-weight: 600; }

        .facts { display: flex; flex-wrap: wrap; gap: 1px; background: var(--rule); border: 1px solid var(--rule); border-radius: .5rem; overflow: hidden; margin: 1.25rem 0; }
        .facts > div { flex: 1 1 19rem; min-width: min(100%, 19rem); background: var(--card); padding: .7rem .9rem .8rem; }
        .facts dt { color: var(--soft); font-size: .9rem; }
        .facts dd { font-size: 1.2rem; line-height: 1.35; font-weight: 600; }
        .facts dd span { display: block; font-size: .95rem; font-weight: 400; }

        .pair { display: grid; grid-template-columns: repeat(auto-fit, minmax(min(100%, 24rem), 1fr)); gap: 1rem 2.5rem; }
        .first { padding-left: 1.6rem; font-size: 1.15rem; }
        .first li { padding: .15rem 0; }
        .first li::marker { font-weight: 700; }
        .first span { color: var(--soft); font-size: .9rem; white-space: nowrap; }
        .plain { padding-left: 1.1rem; }
        .plain li { padding: .12rem 0; }

        nav ul { display: flex; flex-wrap: wrap; gap: .25rem 1.1rem; list-style: none; padding: 0; font-size: .95rem; }
        nav a { display: inline-block; padding: .3rem 0; }

        .scroll { overflow-x: auto; border: 1px solid var(--rule); border-radius: .5rem; background: var(--card); }
        .scroll:focus-visible, a:focus-visible, summary:focus-visible { outline: 3px solid var(--healthy); outline-offset: 2px; }
        table { border-collapse: collapse; width: 100%; font-size: .92rem; line-height: 1.35; font-variant-numeric: tabular-nums; overflow-wrap: normal; }
        .below { margin-top: .6rem; }
        .caption { color: var(--soft); font-size: .9rem; margin: .75rem 0 .4rem; max-width: 52rem; }
        th, td { padding: .38rem .42rem; text-align: right; white-space: nowrap; }
        tbody th, tbody td { border-top: 1px solid var(--rule); }
        thead th { font-weight: 600; color: var(--soft); font-size: .88rem; line-height: 1.2; vertical-align: bottom; white-space: normal; }
        tbody th { font-weight: 700; }
        th.words, td.words { text-align: left; }
        td.long { white-space: normal; min-width: 16rem; text-align: left; overflow-wrap: anywhere; }
        td bdi, th bdi { white-space: normal; overflow-wrap: anywhere; }
        tr.hit { background: color-mix(in srgb, var(--warning) 7%, transparent); }
        .in-row { display: block; overflow: visible; max-width: 100%; min-width: 6rem; }
        .barred { display: flex; align-items: center; gap: .6rem; }

        @media screen and (max-width: 76rem) {
          table { font-size: .82rem; } thead th { font-size: .8rem; } th, td { padding: .35rem .38rem; } th.words, td.words { white-space: normal; } td.long { min-width: 12rem; }
        }
        @media screen and (max-width: 52rem) {
          .scroll { overflow: visible; } table, thead, tbody { display: block; } table { font-size: .9rem; }
          tr { display: flex; flex-wrap: wrap; align-items: center; padding: .3rem .25rem; } tbody tr { border-top: 1px solid var(--rule); }
          th, td, tbody th, tbody td { border: 0; padding: .1rem .3rem; white-space: normal; min-width: 0; overflow-wrap: anywhere; } td.long { flex: 1 1 100%; }
          thead th.more, td.more:empty { display: none; } .more { order: 1; color: var(--soft); font-size: .84rem; } td.more.long { color: var(--ink); font-size: .9rem; }
          .more[data-head]::before { content: attr(data-head) " "; } .more[data-tail]::after { content: " " attr(data-tail); }
          .in-row { width: 100%; min-width: 0; } .barred { gap: .4rem; } .barred .in-row { flex: 0 1 60px; }
          .w17 { flex: 0 0 17%; } .w18 { flex: 0 0 18%; } .w19 { flex: 0 0 19%; } .w20 { flex: 0 0 20%; } .w22 { flex: 0 0 22%; } .w30 { flex: 0 0 30%; }
          .w32 { flex: 0 0 32%; } .w34 { flex: 0 0 34%; } .w38 { flex: 0 0 38%; } .w40 { flex: 0 0 40%; } .w60 { flex: 0 0 60%; }
        }

        .sev { display: inline-flex; align-items: center; gap: .35em; font-weight: 700; white-space: nowrap; }
        .sev.warning { color: var(--warning); } .sev.caution { color: var(--caution); } .sev.advisory { color: var(--advisory); } .sev.good { color: var(--good); }
        .sign { flex: none; vertical-align: middle; overflow: visible; }
        .mark.full { fill: currentColor; stroke: var(--card); stroke-width: 1; }
        .mark.hollow { fill: none; stroke: currentColor; stroke-width: 1.6; }
        .mark.warning, .sign.warning { color: var(--warning); } .mark.caution, .sign.caution { color: var(--caution); } .mark.advisory, .sign.advisory { color: var(--advisory); }
        .mark.left, .sign.left { color: var(--healthy); } .mark.right, .sign.right { color: var(--second); }

        .closeups { display: grid; grid-template-columns: repeat(auto-fit, minmax(min(100%, max(21rem, 40%)), 1fr)); gap: 1rem; margin-top: .5rem; }
        .closeup, .card { background: var(--card); border: 1px solid var(--rule); border-radius: .5rem; padding: .9rem 1rem; min-width: 0; }
        .closeup header { display: flex; flex-wrap: wrap; gap: .1rem .8rem; align-items: baseline; }
        .closeup .figures { display: flex; flex-wrap: wrap; gap: .1rem 1.3rem; margin: .45rem 0 .3rem; font-size: .95rem; }
        .closeup .figures dt { display: inline; color: var(--soft); }
        .closeup .figures dd { display: inline; font-weight: 600; }
        .closeup ul { font-size: .9rem; margin-top: .4rem; }

        .axis-title { font-size: .82rem; color: var(--soft); margin: .5rem 0 0; display: flex; flex-wrap: wrap; gap: 0 1rem; }
        .axis-title b { color: var(--ink); font-weight: 600; }
        .key { display: flex; flex-wrap: wrap; gap: .1rem 1.1rem; list-style: none; padding: 0; font-size: .85rem; color: var(--soft); margin: .35rem 0; }
        .key li { display: inline-flex; align-items: center; gap: .4em; }
        .plot { padding: 8px 12px 22px 52px; }
        .plot.joined { padding-bottom: 6px; }
        .plot > svg { display: block; overflow: visible; }
        .x-title { font-size: .82rem; color: var(--soft); text-align: right; margin: -2px 12px 0 52px; }
        .tick { font-size: 12px; fill: var(--soft); } .note { font-size: 12px; fill: var(--ink); paint-order: stroke; stroke: var(--card); stroke-width: 3px; stroke-linejoin: round; }
        @media (max-width: 40rem) { .spare { display: none; } }
        .end { text-anchor: end; } .middle { text-anchor: middle; }
        .line { fill: none; vector-effect: non-scaling-stroke; stroke-linejoin: round; stroke-linecap: round; stroke-width: 1.5px; stroke: var(--ink); }
        .grid { stroke: var(--grid); stroke-width: 1px; } .rule { stroke: var(--rule); stroke-width: 1px; }
        .pressure { stroke: var(--ink); stroke-width: 2.2px; } .healthy { stroke: var(--healthy); stroke-width: 1.8px; stroke-dasharray: 6 4; }
        .second { stroke: var(--second); stroke-width: 1.6px; stroke-dasharray: 2 4; } .plainline { stroke: var(--ink); } .thin { stroke-width: 1.3px; }
        .raised { stroke: var(--warning); stroke-dasharray: 3 3; } .zero { stroke: var(--soft); stroke-width: 1px; }
        .bound.left { stroke: var(--healthy); stroke-width: 3px; } .bound.right { stroke: var(--second); stroke-width: 3px; stroke-dasharray: 7 5; }
        .area { stroke: none; } .band { fill: var(--healthy); fill-opacity: .2; } .event { fill: var(--ink); fill-opacity: .06; }
        .shortfall { fill: var(--warning); fill-opacity: .32; } .bar { fill: var(--warning); } .bar-room { fill: var(--grid); }
        .crisp { shape-rendering: crispEdges; } .time1 { fill: var(--ink); fill-opacity: .12; } .time2 { fill: var(--ink); fill-opacity: .28; }
        .time3 { fill: var(--ink); fill-opacity: .5; } .time4 { fill: var(--ink); fill-opacity: .8; }
        .other { fill: var(--second); }
        .card + .card { margin-top: 1rem; }
        details { margin-top: .75rem; } summary { cursor: pointer; padding: .3rem 0; }
        .advice { border-top: 3px solid var(--ink); padding-top: 1rem; }
        footer { color: var(--soft); font-size: .9rem; padding-bottom: 2rem; }

        @page { size: A4; margin: 13mm 12mm 14mm; }
        @media print {
          :root { color-scheme: light; --paper: #fff; }
          * { print-color-adjust: exact; -webkit-print-color-adjust: exact; }
          body { font-size: 9.5pt; line-height: 1.4; }
          .wide { max-width: none; padding: 0 1px; } .verdict .wide { padding: 0 5mm; }
          nav, .skip { display: none; }
          .verdict { padding: 4mm 0; border-radius: 2mm; } .verdict h1 { font-size: 44pt; } .verdict .headline { font-size: 13pt; }
          h2 { font-size: 14pt; } h2, h3, .caption, .lead, .key { break-after: avoid; } p, li { break-inside: avoid; } section { margin: 6mm 0; }
          .facts { margin: 4mm 0; } .facts > div { flex: 1 1 30%; min-width: 30%; } .facts dd { font-size: 11.5pt; } .facts dd span { font-size: 9pt; }
          .scroll { overflow: visible; border: 0; } table { font-size: 7.5pt; } th, td { padding: .8mm 1mm; white-space: normal; } thead th { font-size: 7pt; }
          td.long { min-width: 0; width: 62%; } .in-row { width: 20mm; min-width: 0; }
          tr, figure, .key, .scroll.short, .closeup, .facts, .first li { break-inside: avoid; }
          .closeups { grid-template-columns: 1fr 1fr; gap: 3mm; } .closeup, .card { border-color: #bbb; padding: 2mm 3mm; }
          .closeup h3 { font-size: 10.5pt; } .closeup .figures { font-size: 8pt; margin: .5mm 0; gap: 0 3mm; } .closeup > ul, .closeup .x-title { display: none; }
          .closeup .axis-title { font-size: 7.5pt; margin: 0; } .closeup .plot { padding: 5px 6px 18px 40px; } .closeup .plot.joined { padding-bottom: 6px; }
          .closeup .plot > svg { height: 42px; } .closeup .plot > svg.tall { height: 104px; } .closeup .tick { font-size: 9px; }
          .card .plot > svg.tall { height: 62mm; }
          details::details-content { content-visibility: visible; display: block; block-size: auto; }
          a { color: inherit; text-decoration: none; }
        }

        """;
}
