using OilWatch.Channels;
using OilWatch.Frames;

namespace OilWatch.Live.Listening;

/// <summary>Makes one <see cref="EngineHealth"/> of each second of frames.</summary>
internal sealed class HealthMeter
{
    private const double StepS = 1;
    private const double AbsentS = 2;

    private LogTime? _given;
    private LogTime _known;
    private double _minRatio = double.NaN;

    /// <summary>True once anything was judged.</summary>
    public bool Judged { get; private set; }

    /// <summary>True when what was judged before has been absent for two seconds.</summary>
    public bool IsUnknown { get; private set; }

    /// <summary>Takes a frame.</summary>
    /// <param name="frame">The frame, judged.</param>
    /// <param name="state">The state as it stands.</param>
    /// <returns>The health, once a second; else null.</returns>
    public EngineHealth? Step(in EngineFrame frame, Func<EngineState> state)
    {
        if (frame.CanJudgePressure)
        {
            Judged = true;
            _known = frame.At;
            if (frame.ExpectedKpa > 0) _minRatio = double.IsNaN(_minRatio) ? Ratio(in frame) : Math.Min(_minRatio, Ratio(in frame));
        }
        Tick(frame.At);
        if (_given is { } last && frame.At.SecondsSince(last) < StepS) return null;
        _given = frame.At;
        double least = _minRatio;
        _minRatio = double.NaN;
        return new EngineHealth
        {
            At = frame.At,
            State = state(),
            OilPressureKpa = Known(frame.PressureKpa),
            ExpectedKpa = Known(frame.ExpectedKpa),
            MinRatio = Known(least),
            OilTemperatureC = Known(frame.OilTemperatureC),
            SpeedRpm = Known(frame.SpeedRpm),
            LateralG = Known(frame.LoadLateralG),
            CrankcaseKpa = Known(frame.CrankcaseKpa),
            Vibration = Known(frame.VibrationLevel),
            Lap = frame.LapNumber == EngineFrame.NoLap ? null : frame.LapNumber,
            Masked = frame.Masked,
        };
    }

    /// <summary>The log's time went on, with a frame or without one: records that no role wants make none.</summary>
    public void Tick(LogTime at) => IsUnknown = Judged && at.SecondsSince(_known) > AbsentS;

    private static double Ratio(in EngineFrame frame) => frame.PressureKpa / frame.ExpectedKpa;

    private static double? Known(double value) => double.IsFinite(value) ? value : null;
}
