using System.Runtime.CompilerServices;

namespace OilWatch.Pressure;

/// <summary>Engine speed seen through first-order lags of several lengths: what the gallery and the sensor still show of it.</summary>
internal struct SpeedLags
{
    /// <summary>How many lags are tried.</summary>
    public const int Count = 8;

    private const double ForgetAfterS = 1.0;
    private Values _values;
    private LogTime _last;
    private bool _known;

    /// <summary>Time constant of a lag, s.</summary>
    public static double TimeS(int lag) => lag switch
    {
        0 => 0, 1 => 0.04, 2 => 0.08, 3 => 0.12, 4 => 0.17, 5 => 0.23, 6 => 0.32, _ => 0.45,
    };

    /// <summary>Lagged engine speed, rpm, or NaN while it is not known.</summary>
    public readonly double this[int lag] => _known ? _values[lag] : double.NaN;

    /// <summary>Takes the engine speed of a frame, rpm or NaN.</summary>
    public void Step(LogTime at, double speedRpm)
    {
        double step = at.SecondsSince(_last);
        if (!double.IsFinite(speedRpm))
        {
            if (step > ForgetAfterS) _known = false;
            return;
        }
        if (!_known || step > ForgetAfterS)
        {
            for (int lag = 0; lag < Count; lag++) _values[lag] = speedRpm;
        }
        else
        {
            for (int lag = 0; lag < Count; lag++)
            {
                double time = TimeS(lag);
                _values[lag] = time == 0 ? speedRpm : speedRpm + ((_values[lag] - speedRpm) * Math.Exp(-step / time));
            }
        }
        _known = true;
        _last = at;
    }

    [InlineArray(Count)]
    private struct Values
    {
        private double _first;
    }
}
