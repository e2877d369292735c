using OilWatch.Alerts;
using OilWatch.Channels;
using OilWatch.Frames;

namespace OilWatch.Causes;

/// <summary>Measures which loads this pan minds: how much of the time for which one load acted alone, long enough for the oil to have moved, pressure was low.</summary>
/// <remarks>
/// In a corner taken on the brakes two loads act and only the pan knows which of them moved the oil. Straights on which the car braked as hard and lost nothing say that it was not the braking.
/// </remarks>
internal sealed class PanSense
{
    private const double AloneG = 0.3;
    private const double ActsG = 0.55;
    private const double SettledS = 0.7;                 // after a change of load the oil is still where the last one put it
    private const double LowRatio = 0.88;
    private const double LongestStepS = 0.5;
    private const double LeastS = 4;
    private const double LeastShare = 0.02;
    private const double Times = 3;
    private const double DeepRatio = 0.4;
    private const double LeastDeepShare = 0.05;
    private const double FarMore = 4;
    private readonly double[] _actedS = new double[5];
    private readonly double[] _lowS = new double[5];
    private readonly double[] _deepS = new double[5];
    private LoadDirection _now;
    private LogTime _since;
    private LogTime _last;

    /// <summary>Takes a frame with its loads and expected pressure. No load, or two at once, count as none.</summary>
    public void Step(in EngineFrame frame)
    {
        LoadDirection acts = Acting(frame.LoadLateralG, frame.LoadLongitudinalG);
        double step = frame.At.SecondsSince(_last);
        _last = frame.At;
        if (acts != _now)
        {
            _now = acts;
            _since = frame.At;
        }
        if (step is not (> 0 and < LongestStepS) || frame.At.SecondsSince(_since) < SettledS || !frame.CanJudgePressure || frame.IsSuspect(Role.OilPressure)) return;
        _actedS[(int)acts] += step;
        if (frame.PressureKpa < LowRatio * frame.ExpectedKpa) _lowS[(int)acts] += step;
        if (frame.PressureKpa < DeepRatio * frame.ExpectedKpa) _deepS[(int)acts] += step;
    }

    /// <summary>The only load under which pressure is at half of healthy and less for much of the time, alone and for as long as oil takes to move; none where it is so under others or under none too.</summary>
    public LoadDirection Alone
    {
        get
        {
            int most = 1;
            for (int i = 2; i < _deepS.Length; i++)
                if (DeepShare(i) > DeepShare(most)) most = i;
            if (_actedS[most] < LeastS || DeepShare(most) < LeastDeepShare) return LoadDirection.None;
            for (int i = 0; i < _deepS.Length; i++)
                if (i != most && FarMore * DeepShare(i) > DeepShare(most)) return LoadDirection.None;
            return (LoadDirection)most;
        }
    }

    private double DeepShare(int load) => _actedS[load] > 0 ? _deepS[load] / _actedS[load] : 0;

    /// <summary>True when the run shows that this pan minds the other load far more than the one.</summary>
    public bool Minds(LoadDirection other, LoadDirection one)
    {
        if (other == LoadDirection.None || one == LoadDirection.None || _actedS[(int)one] < LeastS || _actedS[(int)other] < LeastS) return false;
        double otherShare = _lowS[(int)other] / _actedS[(int)other], oneShare = _lowS[(int)one] / _actedS[(int)one];
        return otherShare >= LeastShare && otherShare >= Times * oneShare;
    }

    private static LoadDirection Acting(double lateralG, double longitudinalG)
    {
        double across = Math.Abs(lateralG), along = Math.Abs(longitudinalG);
        if (across >= ActsG && along < AloneG) return lateralG > 0 ? LoadDirection.Left : LoadDirection.Right;
        return along >= ActsG && across < AloneG ? longitudinalG > 0 ? LoadDirection.Accelerating : LoadDirection.Braking : LoadDirection.None;
    }
}
