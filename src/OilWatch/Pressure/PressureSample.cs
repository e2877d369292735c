using System.Runtime.CompilerServices;

namespace OilWatch.Pressure;

/// <summary>One frame as the fit remembers it.</summary>
internal struct PressureSample
{
    /// <summary>Log time, s.</summary>
    public float AtS;

    /// <summary>Oil pressure, kPa.</summary>
    public float PressureKpa;

    /// <summary>ν(T)/ν(100 °C), or NaN where oil temperature is not known.</summary>
    public float ViscosityRatio;

    /// <summary>Change of engine speed, rpm/s.</summary>
    public float SlopeRpmS;

    /// <summary>True when taken in calm running.</summary>
    public bool Calm;

    /// <summary>Engine speed through the lags of <see cref="SpeedLags"/>, rpm.</summary>
    public LaggedSpeeds SpeedRpm;

    /// <summary>One speed a lag.</summary>
    [InlineArray(SpeedLags.Count)]
    public struct LaggedSpeeds
    {
        private float _first;
    }
}
