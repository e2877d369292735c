namespace OilWatch.Detectors;

/// <summary>Adds up how oil pressure differs from one reading to the next at steady engine speed, and how such differences follow each other. Memory does not grow with the run.</summary>
internal sealed class ContactNoise
{
    private const int MostStretches = 128;
    private const int Speeds = 10;                       // of 1000 rpm, and what is above
    private const double FirstStretchS = 5;
    private const double BinRpm = 1000;
    private const double LeastRpm = 1500;
    private const double LongestIntervalS = 0.06;
    private const double SteadyRpmS = 800;
    private const double SteadyShare = 0.01;             // an engine speed is counted from teeth, with a little noise
    private const double LargestShare = 0.3;             // a difference counts as no more of pressure: noise, not collapses, is to be seen
    private const double LeastSideS = 30;
    private const double LeastInBin = 50;
    private const double LeastInStretch = 20;
    private const double NoisyShare = 0.25;
    private const double MostStretchesShare = 0.6;
    private const double FloorKpa2 = 0.2;                // a sensor without noise would make every change certain
    private readonly Sums[] _sums = new Sums[MostStretches * Speeds];
    private double _stretchS = FirstStretchS;
    private int _stretches;
    private LogTime _start;
    private bool _begun;
    private LogTime _last;
    private double _kpa;
    private double _difference = double.NaN;
    private double _rpm = double.NaN;
    private double _rpmBefore = double.NaN;
    private double _stepS;
    private double _steps;

    /// <summary>What comes next is no neighbour of what was.</summary>
    public void Forget() => _kpa = _difference = double.NaN;

    /// <summary>Takes a reading as it came.</summary>
    public void Step(LogTime at, double kpa, double rpm)
    {
        if (!_begun) (_start, _kpa) = (at, double.NaN);
        _begun = true;
        double step = at.SecondsSince(_last);
        double most = LargestShare * Math.Abs(_kpa);
        double difference = step is > 0 and <= LongestIntervalS ? Math.Clamp(kpa - _kpa, -most, most) : double.NaN;
        bool steady = rpm >= LeastRpm && Math.Abs(rpm - _rpmBefore) <= (SteadyRpmS * 2 * step) + (SteadyShare * rpm);
        double product = difference * _difference;
        if (steady && double.IsFinite(product))
        {
            ref Sums sums = ref At(at, Math.Min((int)(rpm / BinRpm), Speeds - 1));
            sums.Count++;
            sums.Squares += 0.5 * ((difference * difference) + (_difference * _difference));
            sums.Products += product;
            sums.Kpa += kpa;
            _stepS += step;
            _steps++;
        }
        (_last, _kpa, _difference, _rpmBefore, _rpm) = (at, kpa, difference, _rpm, rpm);
    }

    /// <summary>The surest growth of noise in the run so far.</summary>
    public ContactSigns Signs()
    {
        int side = (int)Math.Ceiling(LeastSideS / _stretchS);
        ContactSigns best = ContactSigns.None;
        var before = new Sums[Speeds];
        var after = new Sums[Speeds];
        for (int i = 0; i < _stretches * Speeds; i++) after[i % Speeds].Add(in _sums[i], 1);
        for (int i = 0; i < _stretches - side; i++)
        {
            for (int speed = 0; speed < Speeds; speed++)
            {
                ref Sums moved = ref _sums[(i * Speeds) + speed];
                before[speed].Add(in moved, 1);
                after[speed].Add(in moved, -1);
            }
            if (i + 1 >= side && Between(before, after) is var grown && grown.NoiseSigma > best.NoiseSigma) best = grown with { NoiseAtS = _start.AddSeconds((i + 1) * _stretchS).Seconds };
        }
        return best with { IsLasting = double.IsFinite(best.NoiseAtS) && Lasts((int)Math.Round((best.NoiseAtS - _start.Seconds) / _stretchS)), StepS = _steps > 0 ? _stepS / _steps : double.NaN };
    }

    /// <summary>True when most stretches from one on are as noisy as their mean, or a quarter of it: bursts are not, and have rules of their own.</summary>
    private bool Lasts(int from)
    {
        Sums all = default;
        for (int i = from * Speeds; i < _stretches * Speeds; i++) all.Add(in _sums[i], 1);
        double least = NoisyShare * all.Squares / all.Count;
        int noisy = 0, known = 0;
        for (int i = from; i < _stretches; i++)
        {
            Sums stretch = default;
            for (int speed = 0; speed < Speeds; speed++) stretch.Add(in _sums[(i * Speeds) + speed], 1);
            if (stretch.Count < LeastInStretch) continue;
            known++;
            if (stretch.Squares / stretch.Count >= least) noisy++;
        }
        return noisy >= MostStretchesShare * known;
    }

    /// <summary>The growth over the speeds that both parts have, each by how well it is known.</summary>
    private static ContactSigns Between(Sums[] before, Sums[] after)
    {
        double growth = 0, weight = 0, squares = 0, products = 0, kpa = 0;
        for (int speed = 0; speed < Speeds; speed++)
        {
            Sums a = before[speed], b = after[speed];
            if (a.Count < LeastInBin || b.Count < LeastInBin) continue;
            double counts = 1 / ((1 / a.Count) + (1 / b.Count));
            growth += counts * Math.Log(((b.Squares / b.Count) + FloorKpa2) / ((a.Squares / a.Count) + FloorKpa2));
            squares += counts * ((b.Squares / b.Count) - (a.Squares / a.Count));
            products += counts * ((b.Products / b.Count) - (a.Products / a.Count));
            kpa += counts * (b.Kpa / b.Count);
            weight += counts;
        }
        if (!(weight > 0) || !(squares > 0) || !(kpa > 0)) return ContactSigns.None;
        return new ContactSigns
        {
            NoiseGrowth = growth / weight,
            NoiseSigma = growth / Math.Sqrt(weight),
            NoiseCorrelation = products / squares,
            // Of white noise neighbouring differences have the product -variance.
            NoiseShare = Math.Sqrt(Math.Max(0, -products / weight)) / (kpa / weight),
        };
    }

    private ref Sums At(LogTime at, int speed)
    {
        int index = (int)(at.SecondsSince(_start) / _stretchS);
        while (index >= MostStretches)
        {
            for (int i = 0; i < MostStretches / 2 * Speeds; i++)
            {
                int first = (i / Speeds * 2 * Speeds) + (i % Speeds);
                Sums joined = _sums[first];
                joined.Add(in _sums[first + Speeds], 1);
                _sums[i] = joined;
            }
            Array.Clear(_sums, MostStretches / 2 * Speeds, MostStretches / 2 * Speeds);
            _stretchS *= 2;
            _stretches = (_stretches + 1) / 2;
            index = (int)(at.SecondsSince(_start) / _stretchS);
        }
        index = Math.Max(index, 0);
        _stretches = Math.Max(_stretches, index + 1);
        return ref _sums[(index * Speeds) + speed];
    }

    private struct Sums
    {
        public double Count;
        public double Squares;
        public double Products;
        public double Kpa;

        public void Add(in Sums other, int sign)
        {
            Count += sign * other.Count;
            Squares += sign * other.Squares;
            Products += sign * other.Products;
            Kpa += sign * other.Kpa;
        }
    }
}
