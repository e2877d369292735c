namespace OilWatch.Proof.Page;

/// <summary>How the page looks: paper by day, dark by night, A4 when printed, one column on a phone.</summary>
internal static class Style
{
    public const string Css = """
        :root { --paper: #fdfcf8; --ink: #1d2226; --soft: #5a646c; --line: #cfd3d0; --before: #9a3b12; --after: #0d5c63; --wash: #f1efe7; color-scheme: light dark; }
        @media (prefers-color-scheme: dark) { :root { --paper: #171b1e; --ink: #e8e6df; --soft: #a4adb3; --line: #3b4348; --before: #f0a27a; --after: #6fc7cd; --wash: #21272b; } }
        * { box-sizing: border-box; }
        body { margin: 0 auto; padding: 1.2rem; max-width: 52rem; background: var(--paper); color: var(--ink); font: 1rem/1.5 system-ui, sans-serif; }
        h1 { display: flex; gap: .7rem; align-items: center; font-size: 1.9rem; margin: 0 0 .4rem; text-transform: capitalize; }
        h2 { font-size: 1.15rem; margin: 2rem 0 .5rem; border-bottom: 1px solid var(--line); }
        .headline { font-size: 1.15rem; margin: 0 0 1rem; }
        .mark { width: 2.2rem; height: 2.2rem; flex: none; }
        .note { color: var(--soft); font-size: .9rem; }
        .scroll { overflow-x: auto; }
        table { border-collapse: collapse; width: 100%; font-variant-numeric: tabular-nums; font-size: .92rem; }
        th, td { text-align: right; padding: .25rem .5rem; border-bottom: 1px solid var(--line); }
        th:first-child, td:first-child { text-align: left; }
        caption { text-align: left; color: var(--soft); font-size: .9rem; padding: .2rem 0; }
        svg.plot { width: 100%; height: auto; display: block; background: var(--wash); }
        svg text { fill: var(--ink); font: 12px system-ui, sans-serif; }
        .axis { stroke: var(--line); stroke-width: 1; fill: none; }
        .before { stroke: var(--before); fill: none; stroke-width: 2; stroke-dasharray: 6 3; }
        .after { stroke: var(--after); fill: none; stroke-width: 2.5; }
        .before-fill { fill: var(--before); }
        .after-fill { fill: var(--after); }
        .before-dot { fill: var(--paper); stroke: var(--before); stroke-width: 2; }
        .shape { fill: none; stroke: var(--ink); stroke-width: 3; stroke-linejoin: round; stroke-linecap: round; }
        footer { margin-top: 2.5rem; border-top: 2px solid var(--ink); font-size: .92rem; }
        @page { size: A4; margin: 14mm; }
        @media print { body { max-width: none; padding: 0; font-size: 10pt; background: #fff; color: #000; } section, svg.plot, tr { break-inside: avoid; } svg.plot { background: none; } .scroll { overflow: visible; } }
        """;
}
