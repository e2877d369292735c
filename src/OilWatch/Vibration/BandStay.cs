using OilWatch.Alerts;

namespace OilWatch.Vibration;

/// <summary>One stay in an engine-speed band to keep out of.</summary>
public readonly record struct BandStay
{
    /// <summary>The band's place among the engine-speed bands of the car file, counted from 0.</summary>
    public int Band { get; init; }

    /// <summary>What the owner calls the band.</summary>
    public string Name { get; init; }

    /// <summary>When engine speed came in.</summary>
    public LogTime Start { get; init; }

    /// <summary>When the stay was called.</summary>
    public LogTime Raised { get; init; }

    /// <summary>When engine speed left, or the last instant known.</summary>
    public LogTime End { get; init; }

    /// <summary>How it ended.</summary>
    public EventEnd Ending { get; init; }

    /// <summary>Worst severity reached.</summary>
    public Severity Severity { get; init; }

    /// <summary>When that severity was reached.</summary>
    public LogTime SeverityAt { get; init; }

    /// <summary>Seconds inside within the stay.</summary>
    public double InsideS { get; init; }

    /// <summary>Crank revolutions turned inside within the stay.</summary>
    public double Revolutions { get; init; }

    /// <summary>Mean engine speed while inside, rpm.</summary>
    public double MeanRpm => Revolutions * 60 / InsideS;

    /// <summary>Seconds inside this band since the lap began.</summary>
    public double LapInsideS { get; init; }

    /// <summary>Lap number when it was called, or <see cref="Frames.EngineFrame.NoLap"/>.</summary>
    public int Lap { get; init; }
}
