namespace OilWatch.Pressure;

/// <summary>A slow function whose latest values are remembered: a thermometer shows few different ones.</summary>
/// <remarks>A table by a few bits of the argument: what it gives is what the function gives, to the last bit.</remarks>
internal sealed class RememberedFunction
{
    private const int PlaceBits = 8;
    private readonly Func<double, double> _function;
    private readonly (double Of, double Value)[] _known = new (double, double)[1 << PlaceBits];

    public RememberedFunction(Func<double, double> function)
    {
        _function = function;
        Array.Fill(_known, (double.NaN, double.NaN));
    }

    /// <summary>The function's value.</summary>
    public double At(double argument)
    {
        ref (double Of, double Value) place = ref _known[(BitConverter.DoubleToUInt64Bits(argument) * 0x9E3779B97F4A7C15) >> (64 - PlaceBits)];
        if (place.Of != argument) place = (argument, _function(argument));
        return place.Value;
    }
}
