namespace OilWatch.Reading.Recording;

/// <summary>CRC-32 of IEEE 802.3, reflected, polynomial 0xEDB88320; of "123456789" it is 0xCBF43926.</summary>
internal static class Crc32
{
    private static readonly uint[] Table = MakeTable();

    /// <summary>The checksum of bytes.</summary>
    /// <param name="bytes">The bytes.</param>
    /// <param name="before">The checksum of what came before them; 0 for nothing.</param>
    public static uint Of(ReadOnlySpan<byte> bytes, uint before = 0)
    {
        uint crc = ~before;
        foreach (byte b in bytes) crc = Table[(byte)crc ^ b] ^ (crc >> 8);
        return ~crc;
    }

    private static uint[] MakeTable()
    {
        var table = new uint[256];
        for (uint i = 0; i < table.Length; i++)
        {
            uint value = i;
            for (int bit = 0; bit < 8; bit++) value = (value & 1) != 0 ? (value >> 1) ^ 0xEDB8_8320 : value >> 1;
            table[i] = value;
        }
        return table;
    }
}
