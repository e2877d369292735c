using System.Globalization;
using System.Text.Json.Nodes;

namespace OilWatch.Board.Tests;

/// <summary>What a page has been sent, put together as the page does it.</summary>
internal sealed class Page(HttpResponseMessage response, StreamReader events) : IDisposable
{
    private static readonly TimeSpan Long = TimeSpan.FromSeconds(60);

    /// <summary>The parts as they stand.</summary>
    public Dictionary<string, JsonNode> Parts { get; } = [];

    /// <summary>Numbers of the events that came.</summary>
    public List<long> Ids { get; } = [];

    public string State => Parts["engine"]["state"]!.GetValue<string>();

    public string Sentence => Parts["engine"]["sentence"]!.GetValue<string>();

    public JsonArray Cards => Parts["alerts"]["cards"]!.AsArray();

    /// <summary>Takes the next event.</summary>
    /// <returns>False when no more come.</returns>
    public async Task<bool> NextAsync()
    {
        while (await events.ReadLineAsync().WaitAsync(Long) is { } line)
        {
            if (line.StartsWith("id: ", StringComparison.Ordinal)) Ids.Add(long.Parse(line[4..], CultureInfo.InvariantCulture));
            if (!line.StartsWith("data: ", StringComparison.Ordinal)) continue;
            foreach ((string name, JsonNode? part) in JsonNode.Parse(line[6..])!.AsObject().Where(member => member.Value is JsonObject)) Parts[name] = part!.DeepClone();
            return true;
        }
        return false;
    }

    /// <summary>Takes events until it is so; a minute at most.</summary>
    public async Task UntilAsync(Func<Page, bool> so)
    {
        using var patience = new CancellationTokenSource(Long);
        while (Parts.Count == 0 || !so(this))
        {
            patience.Token.ThrowIfCancellationRequested();
            Assert.True(await NextAsync(), "the events ended before it was so");
        }
    }

    /// <summary>Everything but the engine's part, whose seconds of silence go on.</summary>
    public string Standing => Parts["alerts"].ToJsonString() + Parts["laps"].ToJsonString() + Parts["about"].ToJsonString();

    public void Dispose() => response.Dispose();
}
