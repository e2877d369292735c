namespace OilWatch.Report.Plots;

/// <summary>Shapes that stand for something on a plot; each is drawn once a page and used by reference.</summary>
internal enum Mark
{
    /// <summary>A triangle on its base: warning.</summary>
    Triangle,

    /// <summary>A square on its corner: caution.</summary>
    Diamond,

    /// <summary>A ring: advisory.</summary>
    Ring,

    /// <summary>A full triangle that points left: pressure fell in a left-hand corner.</summary>
    LeftFull,

    /// <summary>An empty one: pressure held.</summary>
    LeftEmpty,

    /// <summary>A full triangle that points right.</summary>
    RightFull,

    /// <summary>An empty one.</summary>
    RightEmpty,
}
