using System.Text;
using OilWatch.Results;

namespace OilWatch.Tests.Results;

/// <summary>What a writer writes.</summary>
internal static class Written
{
    public static byte[] Bytes(Action<SessionResult, Stream> write, SessionResult result)
    {
        using var stream = new MemoryStream();
        write(result, stream);
        return stream.ToArray();
    }

    public static string Text(Action<SessionResult, Stream> write, SessionResult result) =>
        new UTF8Encoding(false, throwOnInvalidBytes: true).GetString(Bytes(write, result));
}
