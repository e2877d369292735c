using OilWatch.Alerts;
using OilWatch.Report.Markup;
using OilWatch.Report.Plots;

namespace OilWatch.Report.Sections;

/// <summary>A severity by shape and word; colour comes on top.</summary>
internal static class SeverityMark
{
    public static Mark Shape(Severity severity) => severity switch
    {
        Severity.Warning => Mark.Triangle,
        Severity.Caution => Mark.Diamond,
        _ => Mark.Ring,
    };

    public static void Write(HtmlWriter html, Severity severity)
    {
        using (html.Open("span", ("class", "sev " + severity.Word())))
        {
            SvgPlot.Sign(html, Shape(severity), severity.Word());
            html.Text(severity.Word());
        }
    }
}
