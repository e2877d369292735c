using System.Globalization;
using System.Text;
using System.Text.Unicode;
using OilWatch.Reading;

namespace OilWatch.Cars;

/// <summary>Reads the car file: TOML, every part optional; <c>docs/car-file.md</c> has every key.</summary>
public static class CarFile
{
    /// <summary>The largest car file, bytes.</summary>
    public const int MaxBytes = 1024 * 1024;

    /// <summary>Reads the text of a car file. Never throws for what is in it.</summary>
    /// <param name="text">The whole text.</param>
    /// <param name="fileName">The file's name for messages, without its folder.</param>
    /// <returns>The options and every problem at once.</returns>
    public static CarFileResult Parse(string text, string fileName)
    {
        ArgumentNullException.ThrowIfNull(text);
        ArgumentNullException.ThrowIfNull(fileName);
        // No character takes less than a byte, and a count of a text known to be small cannot overflow.
        if (text.Length > MaxBytes || Encoding.UTF8.GetByteCount(text) > MaxBytes) return TooLarge(fileName);
        var problems = new CarProblems(fileName);
        AnalysisOptions options = new CarFileReader(problems, LimitSections.All).Read(TomlDocument.Read(text, problems));
        return new CarFileResult(options, problems.InOrder());
    }

    /// <summary>Reads the bytes of a car file. Never throws for what is in it.</summary>
    /// <param name="utf8">The whole file, UTF-8 with or without a byte-order mark.</param>
    /// <param name="fileName">The file's name for messages, without its folder.</param>
    /// <returns>The options and every problem at once.</returns>
    public static CarFileResult Parse(ReadOnlySpan<byte> utf8, string fileName)
    {
        ArgumentNullException.ThrowIfNull(fileName);
        if (utf8.Length > MaxBytes) return TooLarge(fileName);
        if (utf8.StartsWith("\uFEFF"u8)) utf8 = utf8[3..];
        if (Utf8.IsValid(utf8)) return Parse(Encoding.UTF8.GetString(utf8), fileName);

        int valid = 0;
        int line = 1;
        int column = 1;
        while (Rune.DecodeFromUtf8(utf8[valid..], out Rune rune, out int used) == System.Buffers.OperationStatus.Done)
        {
            valid += used;
            (line, column) = rune.Value == '\n' ? (line + 1, 1) : (line, column + 1);
        }
        string text = string.Create(CultureInfo.InvariantCulture, $"byte {valid + 1} of the file (0x{utf8[valid]:X2}) is not UTF-8; save the file as UTF-8");
        return new CarFileResult(AnalysisOptions.Default, [new ReadingProblem(fileName, line, column, text)]);
    }

    private static CarFileResult TooLarge(string fileName) =>
        new(AnalysisOptions.Default, [new ReadingProblem(fileName, 0, 0, "is larger than 1 MiB; a car file is a few kilobytes")]);
}
