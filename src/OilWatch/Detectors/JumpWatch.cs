using System.Runtime.CompilerServices;

namespace OilWatch.Detectors;

/// <summary>Finds an oil pressure that steps to another level within one reading, up or down, while engine speed stays: smaller steps than one alone could be called an error for.</summary>
/// <remarks>
/// Gallery, line and sensor lag by 0.05 s and more together: of a real step no more than 1 - e^(-T/0.05) passes within one interval T, which is 63 % at 20 readings a second. Where the
/// readings before agree with each other and those after it do too, and four fifths passed between two of them, it happened behind the sensor. One such step may be any chance; see <see cref="ContactWatch"/>.
/// </remarks>
internal struct JumpWatch
{
    private const int Kept = 6;                          // three readings before the step, three from it on
    private const int Before = 2;
    private const int After = 3;
    private const double LeastKpa = 12;                  // a little over 1 % of a 10 bar sensor: less may be the converter's
    private const double LeastUsuals = 6;                // usual differences of two readings: noise alone makes no such step
    private const double PassedShare = 0.8;
    private const double LargestShare = 0.4;             // of pressure: dropouts, rails and large constant errors have rules of their own
    private const double AgreeShare = 0.25;              // of the step
    private const double SteadySpeed = 0.05;             // pressure follows engine speed
    private const double LeastRpm = 600;
    private const double LongestIntervalS = 0.06;        // between slower readings a lag is over
    private const double MostRepeated = 0.45;            // a channel that is written faster than it is read steps by itself
    private const double NoiseKpa = 5;
    private Readings _kept;
    private int _count;
    private double _usualStep;
    private double _repeats;

    /// <summary>What comes next is no neighbour of what was.</summary>
    public void Forget() => _count = 0;

    /// <summary>Takes a reading as it came; true when the third after a step shows it to be one.</summary>
    /// <param name="at">When.</param>
    /// <param name="kpa">Pressure, kPa.</param>
    /// <param name="rpm">Engine speed, rpm, or NaN.</param>
    /// <param name="deadKpa">A level as low as this is a dropout's, kPa.</param>
    /// <param name="jumpAt">When it stepped.</param>
    /// <param name="jumpKpa">By how much, kPa.</param>
    public bool Step(LogTime at, double kpa, double rpm, double deadKpa, out LogTime jumpAt, out double jumpKpa)
    {
        (jumpAt, jumpKpa) = (at, 0);
        double step = Math.Abs(kpa - _kept[Kept - 1].Kpa);
        if (_count > 0 && at.SecondsSince(_kept[Kept - 1].At) > LongestIntervalS) _count = 0;
        for (int i = 1; i < Kept; i++) _kept[i - 1] = _kept[i];
        _kept[Kept - 1] = new Reading(at, kpa, rpm);
        if (_count > 0)
        {
            SlowMean.Follow(ref _repeats, step == 0 ? 1 : 0);
            SlowMean.FollowStep(ref _usualStep, step, NoiseKpa);
        }
        _count = Math.Min(_count + 1, Kept);
        double passed = _kept[After].Kpa - _kept[Before].Kpa;
        if (!(Math.Abs(passed) >= LeastKpa) || _count < Kept) return false;
        double before = (_kept[0].Kpa + _kept[1].Kpa + _kept[2].Kpa) / 3, after = (_kept[3].Kpa + _kept[4].Kpa + _kept[5].Kpa) / 3;
        jumpAt = _kept[After].At;
        jumpKpa = after - before;
        double size = Math.Abs(jumpKpa);
        return size >= Math.Max(LeastKpa, LeastUsuals * _usualStep) && size <= LargestShare * Math.Max(before, after) && Math.Min(before, after) > deadKpa && _repeats <= MostRepeated
            && Math.Abs(passed) >= PassedShare * size && Agree(0, size) && Agree(After, size) && IsSteady();
    }

    /// <summary>True when three readings agree, and are not the same to the last digit: that is a rail or a stuck value.</summary>
    private readonly bool Agree(int first, double size)
    {
        double a = _kept[first].Kpa, b = _kept[first + 1].Kpa, c = _kept[first + 2].Kpa;
        double range = Math.Max(a, Math.Max(b, c)) - Math.Min(a, Math.Min(b, c));
        return range > 0 && range <= AgreeShare * size;
    }

    private readonly bool IsSteady()
    {
        double low = _kept[0].Rpm, high = low, sum = low;
        for (int i = 1; i < Kept; i++)
        {
            double rpm = _kept[i].Rpm;
            low = Math.Min(low, rpm);
            high = Math.Max(high, rpm);
            sum += rpm;
        }
        return low >= LeastRpm && high - low <= SteadySpeed * sum / Kept;
    }

    private readonly record struct Reading(LogTime At, double Kpa, double Rpm);

    [InlineArray(Kept)]
    private struct Readings
    {
        private Reading _first;
    }
}
