using System.Buffers;
using System.IO.Pipelines;
using Microsoft.AspNetCore.Http;
using Microsoft.AspNetCore.Server.Kestrel.Core.Features;
using OilWatch.Board.Showing;

namespace OilWatch.Board.Serving;

/// <summary>Sends one page what is new to it, until it goes or nothing follows.</summary>
internal sealed class EventReader(HttpContext context, TimeSpan patience, TimeProvider time)
{
    /// <summary>Steps that were sent as part of a later one.</summary>
    public long Skipped { get; private set; }

    /// <summary>Sends a page everything, and then what changes.</summary>
    /// <param name="current">What is shown now.</param>
    /// <param name="stop">Ends it.</param>
    /// <returns>False when the page took nothing for too long.</returns>
    public async Task<bool> RunAsync(Func<BoardSnapshot> current, CancellationToken stop)
    {
        if (context.Features.Get<IHttpMinResponseDataRateFeature>() is { } rate) rate.MinDataRate = null;     // patience is measured here
        context.Response.ContentType = "text/event-stream";
        PipeWriter to = context.Response.BodyWriter;
        to.Write("retry: 1000\n\n"u8);
        BoardSnapshot snapshot = current();
        long seen = 0;
        while (true)
        {
            to.Write(snapshot.EventSince(seen));
            if (!await FlushAsync(to, stop).ConfigureAwait(false)) return false;
            if (seen > 0) Skipped += snapshot.Version - seen - 1;
            seen = snapshot.Version;
            if (snapshot.IsFinal) return true;
            await snapshot.Outdated.WaitAsync(stop).ConfigureAwait(false);
            snapshot = current();
        }
    }

    private async ValueTask<bool> FlushAsync(PipeWriter to, CancellationToken stop)
    {
        ValueTask<FlushResult> flush = to.FlushAsync(stop);
        if (flush.IsCompletedSuccessfully)
        {
            _ = flush.Result;
            return true;
        }
        try
        {
            await flush.AsTask().WaitAsync(patience, time, stop).ConfigureAwait(false);
            return true;
        }
        catch (TimeoutException)
        {
            context.Abort();
            return false;
        }
    }
}
