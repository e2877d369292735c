using OilWatch.Alerts;

namespace OilWatch.Report.Sections;

/// <summary>What is said wherever advice is shown.</summary>
internal static class AdviceSection
{
    public static void Write(PageContext page) => page.Section("advice", "Cautions", () =>
    {
        using (page.Html.Open("div", ("class", "advice"))) page.Bullets(Cautions.All, Cautions.All.Length, "");
    });
}
