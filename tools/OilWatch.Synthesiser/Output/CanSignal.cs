namespace OilWatch.Synthesiser.Output;

/// <summary>One signal of a CAN message.</summary>
/// <param name="Role">The role's key that it carries.</param>
/// <param name="Name">Its name in the database.</param>
/// <param name="StartBit">Start bit as a CAN database counts it: the least significant bit (Intel), the most significant (Motorola).</param>
/// <param name="Length">Bits, 1 to 32.</param>
/// <param name="IsMotorola">True for big-endian.</param>
/// <param name="IsSigned">True for two's complement.</param>
/// <param name="Factor">Physical value a bit.</param>
/// <param name="Offset">Physical value of raw 0.</param>
/// <param name="Unit">Physical unit.</param>
/// <param name="Mux">Value of the multiplexer for which it is there; null for always.</param>
public sealed record CanSignal(
    string Role, string Name, int StartBit, int Length, bool IsMotorola, bool IsSigned, double Factor, double Offset, string Unit, int? Mux = null)
{
    /// <summary>Largest raw value.</summary>
    public long RawMax => IsSigned ? (1L << (Length - 1)) - 1 : (1L << Length) - 1;

    /// <summary>Smallest raw value.</summary>
    public long RawMin => IsSigned ? -(1L << (Length - 1)) : 0;

    /// <summary>What is sent where there is no reading: all bits set, which a standard bus defines as not available.</summary>
    public long RawAbsent => IsSigned ? -1 : RawMax;

    /// <summary>The raw value of a physical one, limited to what fits; <see cref="RawAbsent"/> of NaN.</summary>
    /// <param name="physical">Physical value.</param>
    /// <param name="highest">Largest raw value to use, when some are kept for codes.</param>
    public long ToRaw(double physical, long highest)
    {
        if (!double.IsFinite(physical)) return RawAbsent;
        return Math.Clamp((long)Math.Round((physical - Offset) / Factor), RawMin, Math.Min(RawMax, highest));
    }

    /// <summary>Puts a raw value into a frame.</summary>
    public void Insert(Span<byte> data, long raw)
    {
        int bit = StartBit;
        for (int i = 0; i < Length; i++)
        {
            // Intel fills from the least significant bit upwards, Motorola from the most significant downwards.
            int from = IsMotorola ? Length - 1 - i : i;
            byte mask = (byte)(1 << (bit % 8));
            if (((raw >> from) & 1) != 0) data[bit / 8] |= mask;
            else data[bit / 8] &= (byte)~mask;
            bit = !IsMotorola ? bit + 1 : bit % 8 == 0 ? bit + 15 : bit - 1;
        }
    }
}
