namespace OilWatch.Reading.Csv;

/// <summary>How the time of a row is written.</summary>
internal enum TimeForm
{
    /// <summary>A number in some unit.</summary>
    Number,

    /// <summary><c>h:m:s.fff</c> or <c>m:s.fff</c>.</summary>
    Clock,

    /// <summary>A date and a clock in one cell, as ISO 8601 writes them or nearly so.</summary>
    DateAndClock,

    /// <summary>A date in one column and a clock in another.</summary>
    DateBesideClock,

    /// <summary>No column: so many rows a second.</summary>
    Rate,
}

/// <summary>In which order a date with slashes or points has its parts. ISO 8601 dates need no telling.</summary>
internal enum DateOrder
{
    /// <summary>Day, month, year.</summary>
    DayFirst,

    /// <summary>Month, day, year.</summary>
    MonthFirst,
}

/// <summary>Times in cells, as exact whole nanoseconds.</summary>
internal static class CsvTime
{
    /// <summary>Nanoseconds of a day.</summary>
    public const long DayNs = 86_400 * LogTime.NanosecondsPerSecond;

    private const int MaxCellBytes = 64;
    private const long EpochDayNumber = 719_162;       // 1970-01-01 as DateOnly.DayNumber

    private static readonly long[] PowersOfTen =
        [1, 10, 100, 1_000, 10_000, 100_000, 1_000_000, 10_000_000, 100_000_000, 1_000_000_000];

    /// <summary>A number of units as nanoseconds, rounded once, half away from zero.</summary>
    /// <param name="cell">The cell; point and comma are both decimal signs here.</param>
    /// <param name="unitNs">Nanoseconds of the unit.</param>
    /// <param name="ns">The time.</param>
    /// <returns>False when the cell is no number or lies outside ±292 years.</returns>
    public static bool TryNumber(ReadOnlySpan<byte> cell, long unitNs, out long ns)
    {
        ns = 0;
        cell = cell.Trim(" \t\r"u8);
        if (!CsvNumber.TryDecimal(cell, (byte)'.', out DecimalText number)
            && !CsvNumber.TryDecimal(cell, (byte)',', out number)) return false;
        UInt128 value = (UInt128)number.Digits * (ulong)unitNs;
        int exponent = number.Exponent;
        if (value == 0) return true;
        for (; exponent > 0; exponent--)
        {
            if (value > long.MaxValue) return false;
            value *= 10;
        }
        if (exponent < 0)
        {
            if (exponent < -38) return true;          // smaller than any nanosecond: 2^106 is below 10^32
            UInt128 divisor = 1;
            for (; exponent < 0; exponent++) divisor *= 10;
            (UInt128 quotient, UInt128 rest) = UInt128.DivRem(value, divisor);
            value = rest >= divisor - rest ? quotient + 1 : quotient;
        }
        if (value > long.MaxValue) return false;
        ns = number.Negative ? -(long)value : (long)value;
        return true;
    }

    /// <summary><c>h:m:s.fff</c>, <c>m:s.fff</c>, also with AM or PM.</summary>
    /// <param name="cell">The cell.</param>
    /// <param name="twoPartsAreHours">True where <c>10:15</c> is hours and minutes, as beside a date.</param>
    /// <param name="ns">Nanoseconds since midnight or since zero.</param>
    public static bool TryClock(ReadOnlySpan<byte> cell, bool twoPartsAreHours, out long ns)
    {
        ns = 0;
        cell = cell.Trim(" \t\r"u8);
        if (cell.Length > MaxCellBytes) return false;
        int halfDay = HalfDay(ref cell);
        bool negative = cell is [(byte)'-', ..];
        if (negative) cell = cell[1..];

        if (!TryDigits(ref cell, 6, out long first) || !TrySkip(ref cell, (byte)':') || !TryDigits(ref cell, 2, out long second)) return false;
        long hours, minutes, seconds;
        if (TrySkip(ref cell, (byte)':'))
        {
            (hours, minutes) = (first, second);
            if (!TryDigits(ref cell, 2, out seconds)) return false;
        }
        else
        {
            (hours, minutes, seconds) = twoPartsAreHours ? (first, second, 0L) : (0L, first, second);
        }
        if ((hours > 0 && minutes > 59) || seconds > 60) return false;      // 60: a leap second
        if (!TryFraction(ref cell, out long fraction) || !cell.IsEmpty) return false;
        if (halfDay >= 0)
        {
            if (hours is < 1 or > 12) return false;
            hours = (hours % 12) + halfDay;
        }
        ns = (((hours * 3600) + (minutes * 60) + seconds) * LogTime.NanosecondsPerSecond) + fraction;
        if (negative) ns = -ns;
        return true;
    }

    /// <summary>A date: <c>2026-04-12</c>, <c>2026/04/12</c>, <c>20260412</c>, <c>12.04.2026</c>, <c>12/04/2026</c>.</summary>
    /// <param name="cell">The cell.</param>
    /// <param name="order">For the forms with slashes or dashes and the year at the end; with points the day is always first.</param>
    /// <param name="ns">Nanoseconds since 1970-01-01.</param>
    public static bool TryDate(ReadOnlySpan<byte> cell, DateOrder order, out long ns)
    {
        cell = cell.Trim(" \t\r"u8);
        return TryTakeDate(ref cell, order, out ns) && cell.IsEmpty;
    }

    /// <summary>A date and a clock: <c>2026-04-12T10:15:30.125+02:00</c>, with a blank for the T, without a zone, or with another date form.</summary>
    /// <param name="cell">The cell.</param>
    /// <param name="order">For dates with the year at the end.</param>
    /// <param name="ns">Nanoseconds since 1970-01-01; UTC where a zone is given.</param>
    public static bool TryDateAndClock(ReadOnlySpan<byte> cell, DateOrder order, out long ns)
    {
        ns = 0;
        cell = cell.Trim(" \t\r"u8);
        if (cell.Length > MaxCellBytes || !TryTakeDate(ref cell, order, out long date)) return false;
        if (!TrySkip(ref cell, (byte)'T') && !TrySkip(ref cell, (byte)'t') && !TrySkip(ref cell, (byte)' ')) return false;
        if (!TryZone(ref cell, out long offset)) return false;
        if (!TryCompactClock(cell, out long clock) && !TryClock(cell, twoPartsAreHours: true, out clock)) return false;
        ns = date + clock - offset;
        return true;
    }

    /// <summary><c>101530</c>, <c>101530.125</c>: ISO 8601 in its basic form.</summary>
    private static bool TryCompactClock(ReadOnlySpan<byte> cell, out long ns)
    {
        ns = 0;
        if (cell.Length < 6 || cell[..6].IndexOfAnyExceptInRange((byte)'0', (byte)'9') >= 0) return false;
        int hours = Two(cell), minutes = Two(cell[2..]), seconds = Two(cell[4..]);
        cell = cell[6..];
        if (hours > 24 || minutes > 59 || seconds > 60 || !TryFraction(ref cell, out long fraction) || !cell.IsEmpty) return false;
        ns = (((hours * 3600L) + (minutes * 60) + seconds) * LogTime.NanosecondsPerSecond) + fraction;
        return true;

        static int Two(ReadOnlySpan<byte> digits) => ((digits[0] - '0') * 10) + digits[1] - '0';
    }

    private static bool TryTakeDate(ref ReadOnlySpan<byte> cell, DateOrder order, out long ns)
    {
        ns = 0;
        ReadOnlySpan<byte> rest = cell;
        if (!TryDigits(ref rest, 8, out long first)) return false;
        long year, month, day;
        int width = cell.Length - rest.Length;
        if (width == 8)
        {
            (year, month, day) = (first / 10_000, first / 100 % 100, first % 100);
        }
        else
        {
            if (rest is not [(byte)'-' or (byte)'/' or (byte)'.', ..]) return false;
            byte between = rest[0];
            rest = rest[1..];
            if (!TryDigits(ref rest, 2, out long second) || !TrySkip(ref rest, between)) return false;
            int before = rest.Length;
            if (!TryDigits(ref rest, 4, out long third)) return false;
            if (width == 4) (year, month, day) = (first, second, third);
            else if (width > 2 || before - rest.Length != 4) return false;
            else if (order == DateOrder.DayFirst || between == (byte)'.') (day, month, year) = (first, second, third);
            else (month, day, year) = (first, second, third);
        }
        // Nanoseconds since 1970 reach from 1677 to 2262.
        if (year is < 1700 or > 2250 || month is < 1 or > 12 || day < 1 || day > DateTime.DaysInMonth((int)year, (int)month)) return false;
        ns = (new DateOnly((int)year, (int)month, (int)day).DayNumber - EpochDayNumber) * DayNs;
        cell = rest;
        return true;
    }

    /// <summary>Takes <c>Z</c>, <c>+02:00</c>, <c>-0530</c> or <c>+02</c> off the end.</summary>
    private static bool TryZone(ref ReadOnlySpan<byte> cell, out long offset)
    {
        offset = 0;
        if (cell is [.., (byte)'Z' or (byte)'z'])
        {
            cell = cell[..^1].TrimEnd((byte)' ');
            return true;
        }
        int sign = cell.LastIndexOfAny((byte)'+', (byte)'-');
        if (sign <= 0) return true;
        ReadOnlySpan<byte> zone = cell[(sign + 1)..];
        if (!TryDigits(ref zone, 4, out long value)) return false;
        long hours = value, minutes = 0;
        if (cell.Length - sign - 1 == 4) (hours, minutes) = (value / 100, value % 100);
        else if (TrySkip(ref zone, (byte)':') && !TryDigits(ref zone, 2, out minutes)) return false;
        if (!zone.IsEmpty || hours > 14 || minutes > 59) return false;
        offset = ((hours * 3600) + (minutes * 60)) * LogTime.NanosecondsPerSecond * (cell[sign] == (byte)'-' ? -1 : 1);
        cell = cell[..sign].TrimEnd((byte)' ');
        return true;
    }

    /// <summary>Takes AM or PM off the end: hours to add, or -1 when neither is there.</summary>
    private static int HalfDay(ref ReadOnlySpan<byte> cell)
    {
        if (cell is not [.., (byte)'A' or (byte)'a' or (byte)'P' or (byte)'p', (byte)'M' or (byte)'m']) return -1;
        int hours = (cell[^2] | 0x20) == 'p' ? 12 : 0;
        cell = cell[..^2].TrimEnd((byte)' ');
        return hours;
    }

    private static bool TryDigits(ref ReadOnlySpan<byte> text, int atMost, out long value)
    {
        value = 0;
        int at = 0;
        for (; at < text.Length && text[at] is >= (byte)'0' and <= (byte)'9'; at++)
        {
            if (at == atMost) return false;
            value = (value * 10) + (text[at] - '0');
        }
        text = text[at..];
        return at > 0;
    }

    private static bool TrySkip(ref ReadOnlySpan<byte> text, byte value)
    {
        if (text.IsEmpty || text[0] != value) return false;
        text = text[1..];
        return true;
    }

    /// <summary>A decimal sign and digits, or nothing. Beyond the ninth digit is rounded, half up.</summary>
    private static bool TryFraction(ref ReadOnlySpan<byte> text, out long ns)
    {
        ns = 0;
        if (text is not [(byte)'.' or (byte)',', ..]) return true;
        text = text[1..];
        int at = 0;
        for (; at < text.Length && text[at] is >= (byte)'0' and <= (byte)'9'; at++)
        {
            if (at < 9) ns = (ns * 10) + (text[at] - '0');
            else if (at == 9 && text[at] >= (byte)'5') ns++;
        }
        if (at == 0) return false;
        if (at < 9) ns *= PowersOfTen[9 - at];
        text = text[at..];
        return true;
    }
}
