using OilWatch.Frames;

namespace OilWatch.Laps;

/// <summary>Lateral acceleration and speed over the distance of the lap that is being driven, on an even grid.</summary>
internal sealed class LapProfile
{
    private const int MaxCells = 16_384;
    private const int FirstCells = 512;
    private const double FirstCellM = 2;
    private const double MaxStepM = 150;

    private float[] _lateralG = new float[FirstCells];
    private float[] _speedMps = new float[FirstCells];
    private double _cellM = FirstCellM;
    private int _filled;
    private double _distanceM = double.NaN, _g;
    private LogTime _at;

    /// <summary>A lap begins.</summary>
    public void Begin()
    {
        _filled = 0;
        _cellM = FirstCellM;
        _distanceM = double.NaN;
    }

    /// <summary>Takes a frame of the lap.</summary>
    public void Step(in EngineFrame frame)
    {
        double distance = frame.LapDistanceM, g = frame.LoadLateralG;
        if (!double.IsFinite(distance) || !double.IsFinite(g)) return;
        if (!double.IsFinite(_distanceM))
        {
            // The line lies up to a frame behind; what lies farther is not known.
            double before = distance <= MaxStepM ? g : double.NaN;
            (_distanceM, _g) = (0, before);
            Fill(distance, before, double.NaN);
            (_distanceM, _g, _at) = (distance, g, frame.At);
            return;
        }

        double step = distance - _distanceM;
        if (step <= 0) return;
        double speed = step / frame.At.SecondsSince(_at);
        if (step > MaxStepM) Fill(distance, double.NaN, double.NaN);
        else Fill(distance, g, speed);
        (_distanceM, _g, _at) = (distance, g, frame.At);
    }

    /// <summary>Puts the lap, whole and <paramref name="lengthM"/> long on the frames' scale, onto a grid of shares of the lap.</summary>
    /// <returns>False when too much of it is not known.</returns>
    public bool Resample(double lengthM, Span<float> lateralG, Span<float> speedMps)
    {
        int known = 0;
        for (int i = 0; i < lateralG.Length; i++)
        {
            double cell = ((i + 0.5) / lateralG.Length * lengthM / _cellM) - 0.5;
            int low = Math.Clamp((int)Math.Floor(cell), 0, Math.Max(_filled - 1, 0));
            int high = Math.Min(low + 1, Math.Max(_filled - 1, 0));
            double share = Math.Clamp(cell - low, 0, 1);
            // The last frame lies up to a frame before the line.
            bool covered = _filled > 0 && cell < _filled + (MaxStepM / _cellM);
            lateralG[i] = covered ? (float)(_lateralG[low] + (share * (_lateralG[high] - _lateralG[low]))) : float.NaN;
            speedMps[i] = covered ? _speedMps[low] : float.NaN;
            if (float.IsFinite(lateralG[i])) known++;
        }

        return known >= 0.95 * lateralG.Length;
    }

    // Fills the cells whose middles lie up to a distance, with a straight line from the last value to this one.
    private void Fill(double untilM, double g, double speed)
    {
        double from = _distanceM;
        while (true)
        {
            double middle = (_filled + 0.5) * _cellM;
            if (middle > untilM) return;
            if (_filled == MaxCells)
            {
                Halve();
                continue;
            }

            if (_filled == _lateralG.Length)
            {
                Array.Resize(ref _lateralG, 2 * _filled);
                Array.Resize(ref _speedMps, 2 * _filled);
            }

            double share = untilM > from ? Math.Clamp((middle - from) / (untilM - from), 0, 1) : 1;
            _lateralG[_filled] = (float)(_g + (share * (g - _g)));
            _speedMps[_filled] = (float)speed;
            _filled++;
        }
    }

    private void Halve()
    {
        for (int i = 0; i < MaxCells / 2; i++)
        {
            _lateralG[i] = (_lateralG[2 * i] + _lateralG[(2 * i) + 1]) / 2;
            _speedMps[i] = (_speedMps[2 * i] + _speedMps[(2 * i) + 1]) / 2;
        }

        _filled = MaxCells / 2;
        _cellM *= 2;
    }
}
