using System.Net;
using System.Net.Sockets;
using System.Text;
using System.Text.Json;
using Microsoft.AspNetCore.Builder;
using Microsoft.AspNetCore.Hosting;
using Microsoft.AspNetCore.Hosting.Server;
using Microsoft.AspNetCore.Hosting.Server.Features;
using Microsoft.AspNetCore.Http;
using Microsoft.AspNetCore.Server.Kestrel.Core;
using Microsoft.Extensions.DependencyInjection;
using Microsoft.Extensions.Hosting;
using Microsoft.Net.Http.Headers;
using OilWatch.Board.Showing;
using OilWatch.Live;

namespace OilWatch.Board.Serving;

/// <summary>Answers requests. Whoever may not ask gets a number and nothing else.</summary>
internal sealed class BoardServer : IAsyncDisposable
{
    private const int LargestBody = 16 * 1024;
    private const int MostConnections = 128;
    private static readonly TimeSpan LongestFarewell = TimeSpan.FromSeconds(2);

    private readonly BoardOptions _options;
    private readonly Door _door;
    private readonly Func<BoardSnapshot> _current;
    private readonly Func<IReadOnlyList<string>, int> _acknowledge;
    private readonly BoardPages _pages = new();
    private readonly CancellationTokenSource _stop = new();
    private readonly WebApplication _web;
    private int _readers;
    private long _refused;
    private long _crowded;
    private long _skipped;
    private long _cut;
    private int _saidHost;
    private int _saidCut;

    /// <param name="options">Where and to whom.</param>
    /// <param name="current">What is shown now.</param>
    /// <param name="acknowledge">Acknowledges what somebody has seen; answers how many of it had changed since.</param>
    public BoardServer(BoardOptions options, Func<BoardSnapshot> current, Func<IReadOnlyList<string>, int> acknowledge)
    {
        (_options, _current, _acknowledge) = (options, current, acknowledge);
        _door = new Door(options.Listen, options.Token);
        // Empty: no settings file, environment or command line of anybody's has a say in it, and nothing is logged.
        WebApplicationBuilder builder = WebApplication.CreateEmptyBuilder(new WebApplicationOptions());
        builder.Services.AddSingleton<IHostLifetime, NoLifetime>().AddLogging();
        builder.WebHost.UseKestrelCore().ConfigureKestrel(kestrel =>
        {
            kestrel.AddServerHeader = false;
            kestrel.Limits.MaxConcurrentConnections = MostConnections;
            kestrel.Limits.MaxRequestBodySize = LargestBody;
            kestrel.Limits.MaxRequestHeadersTotalSize = 16 * 1024;
            kestrel.Limits.MaxRequestHeaderCount = 60;
            kestrel.Limits.MaxRequestLineSize = 2 * 1024;
            kestrel.Limits.KeepAliveTimeout = TimeSpan.FromSeconds(20);
            kestrel.Limits.RequestHeadersTimeout = TimeSpan.FromSeconds(10);
            if (options.Listen is { } address) kestrel.Listen(address, options.Port, Http1);
            else if (options.Port == 0) kestrel.Listen(IPAddress.Loopback, 0, Http1);        // "localhost" cannot ask for any free port
            else kestrel.ListenLocalhost(options.Port, Http1);
        });
        _web = builder.Build();
        _web.Run(AnswerAsync);

        static void Http1(ListenOptions listen) => listen.Protocols = HttpProtocols.Http1;
    }

    /// <summary>What was done and not done.</summary>
    public BoardCounts Counts => new(
        Volatile.Read(ref _readers), Interlocked.Read(ref _refused), Interlocked.Read(ref _crowded), Interlocked.Read(ref _skipped), Interlocked.Read(ref _cut));

    /// <summary>The port that is listened on.</summary>
    public int Port { get; private set; }

    /// <summary>Begins to listen.</summary>
    /// <exception cref="IOException">It cannot; the message says why and what would be right.</exception>
    public async Task StartAsync(CancellationToken stop)
    {
        string where = $"port {_options.Port} of {_options.Listen?.ToString() ?? "localhost"}";
        try
        {
            await _web.StartAsync(stop).ConfigureAwait(false);
        }
        catch (Exception error) when (error is IOException or SocketException)
        {
            throw new IOException((error as SocketException ?? error.GetBaseException() as SocketException)?.SocketErrorCode switch
            {
                SocketError.AddressNotAvailable => $"{_options.Listen}: this machine has no such address",
                SocketError.AccessDenied => $"{where} may not be used; those from 1024 on may",
                SocketError.AddressAlreadyInUse => $"{where} is taken by another program; choose another",
                _ => $"{where}: {error.Message}",
            }, error);
        }
        Port = new Uri(_web.Services.GetRequiredService<IServer>().Features.Get<IServerAddressesFeature>()!.Addresses.First()).Port;
    }

    /// <summary>Lets the pages take what is there, for a short while, and ends.</summary>
    public async ValueTask DisposeAsync()
    {
        using (var farewell = new CancellationTokenSource(LongestFarewell, _options.Time))
        {
            while (Volatile.Read(ref _readers) > 0 && !farewell.IsCancellationRequested) await Task.Delay(10).ConfigureAwait(false);
        }
        await _stop.CancelAsync().ConfigureAwait(false);
        using (var patience = new CancellationTokenSource(LongestFarewell, _options.Time))
        {
            try
            {
                await _web.StopAsync(patience.Token).ConfigureAwait(false);
            }
            catch (OperationCanceledException)
            {
                // Whoever still hangs on is cut off.
            }
        }
        await _web.DisposeAsync().ConfigureAwait(false);
        _stop.Dispose();
    }

    private async Task AnswerAsync(HttpContext context)
    {
        Protect(context.Response.Headers);
        try
        {
            await DispatchAsync(context).ConfigureAwait(false);
        }
        catch (Microsoft.AspNetCore.Http.BadHttpRequestException bad)
        {
            if (!context.Response.HasStarted) Refuse(context, bad.StatusCode);
        }
        catch (Exception error) when (error is OperationCanceledException or IOException)
        {
            // Gone, or being ended.
        }
    }

    private Task DispatchAsync(HttpContext context)
    {
        string path = context.Request.Path.Value ?? "";
        string? verbs = path switch
        {
            "/" => "GET, HEAD",
            "/events" => "GET",
            "/acknowledge" => "POST",
            "/sign-in" => _door.IsLocked ? "GET, POST" : "GET",
            _ => null,
        };
        bool posts = HttpMethods.IsPost(context.Request.Method);
        if (!_door.IsOurHost(context))
        {
            SayHost(context);
            return Refused(StatusCodes.Status403Forbidden);
        }
        if (!Door.IsOurPage(context, mustSay: posts)) return Refused(StatusCodes.Status403Forbidden);
        if (path is "/sign-in")
        {
            if (posts && _door.IsLocked) return SignInAsync(context);
            if (HttpMethods.IsGet(context.Request.Method))
                return WriteAsync(context, StatusCodes.Status200OK, "application/json", _door.Knows(context) ? "true"u8.ToArray() : "false"u8.ToArray());
        }
        if (!_door.Knows(context))
        {
            context.Response.Headers.WWWAuthenticate = "Bearer";
            if (path is not "/" || !HttpMethods.IsGet(context.Request.Method)) return Refused(StatusCodes.Status401Unauthorized);
            Interlocked.Increment(ref _refused);
            return WriteAsync(context, StatusCodes.Status401Unauthorized, _pages.SignIn);
        }
        if (verbs is null) return Refused(StatusCodes.Status404NotFound);
        if (!verbs.Split(", ").Contains(context.Request.Method, StringComparer.Ordinal))
        {
            context.Response.Headers.Allow = verbs;
            return Refused(StatusCodes.Status405MethodNotAllowed);
        }
        return path switch
        {
            "/" => WriteAsync(context, StatusCodes.Status200OK, _pages.Board),
            "/events" => StreamAsync(context),
            _ => AcknowledgeAsync(context),
        };

        Task Refused(int status)
        {
            Refuse(context, status);
            return Task.CompletedTask;
        }
    }

    private async Task StreamAsync(HttpContext context)
    {
        if (Interlocked.Increment(ref _readers) > _options.MostReaders)
        {
            Interlocked.Decrement(ref _readers);
            Interlocked.Increment(ref _crowded);
            context.Response.Headers.RetryAfter = "5";
            context.Response.StatusCode = StatusCodes.Status503ServiceUnavailable;
            return;
        }
        var reader = new EventReader(context, _options.Patience, _options.Time);
        try
        {
            using var gone = CancellationTokenSource.CreateLinkedTokenSource(context.RequestAborted, _stop.Token);
            if (await reader.RunAsync(_current, gone.Token).ConfigureAwait(false)) return;
            Interlocked.Increment(ref _cut);
            if (Interlocked.Exchange(ref _saidCut, 1) == 0)
                _options.Said?.Invoke(new LiveNotice(null, FormattableString.Invariant($"board: a page took nothing for {_options.Patience.TotalSeconds:0.#} s and was cut off; it may come back")));
        }
        finally
        {
            Interlocked.Add(ref _skipped, reader.Skipped);
            Interlocked.Decrement(ref _readers);
        }
    }

    private async Task AcknowledgeAsync(HttpContext context)
    {
        using JsonDocument? body = await BodyAsync(context).ConfigureAwait(false);
        if (body?.RootElement is not { ValueKind: JsonValueKind.Array } list || !list.EnumerateArray().All(item => item.ValueKind == JsonValueKind.String))
        {
            Refuse(context, StatusCodes.Status400BadRequest);
            return;
        }
        int changed = _acknowledge([.. list.EnumerateArray().Select(item => item.GetString()!)]);
        await WriteAsync(context, StatusCodes.Status200OK, "application/json", Encoding.ASCII.GetBytes(FormattableString.Invariant($"{{\"changed\":{changed}}}"))).ConfigureAwait(false);
    }

    private async Task SignInAsync(HttpContext context)
    {
        using JsonDocument? body = await BodyAsync(context).ConfigureAwait(false);
        if (body?.RootElement is { ValueKind: JsonValueKind.String } offered && _door.SignIn(context, offered.GetString()!))
            context.Response.StatusCode = StatusCodes.Status204NoContent;
        else
            Refuse(context, StatusCodes.Status401Unauthorized);
    }

    /// <summary>The body, when it is JSON; null when it is anything else.</summary>
    private static async Task<JsonDocument?> BodyAsync(HttpContext context)
    {
        // A form of somebody else's page cannot send this type without asking first.
        if (!string.Equals(context.Request.ContentType, "application/json", StringComparison.OrdinalIgnoreCase)) return null;
        try
        {
            return await JsonDocument.ParseAsync(context.Request.Body, new JsonDocumentOptions { MaxDepth = 2 }, context.RequestAborted).ConfigureAwait(false);
        }
        catch (JsonException)
        {
            return null;
        }
    }

    private void Refuse(HttpContext context, int status)
    {
        Interlocked.Increment(ref _refused);
        context.Response.StatusCode = status;
    }

    /// <summary>Says once that somebody asks for a name that is not ours: mostly it is only a name for this machine that it does not know of.</summary>
    private void SayHost(HttpContext context)
    {
        if (!context.Request.Host.HasValue || Interlocked.Exchange(ref _saidHost, 1) != 0) return;
        string asked = context.Request.Host.Value!;
        _options.Said?.Invoke(new LiveNotice(null, $"board: a request for '{(asked.Length > 80 ? asked[..80] + "…" : asked)}' was refused; open the board by this machine's address"));
    }

    private static Task WriteAsync(HttpContext context, int status, BoardPages.Page page)
    {
        context.Response.Headers.ContentSecurityPolicy = page.Policy;
        return WriteAsync(context, status, "text/html; charset=utf-8", page.Html);
    }

    private static Task WriteAsync(HttpContext context, int status, string type, byte[] body)
    {
        context.Response.StatusCode = status;
        context.Response.ContentType = type;
        context.Response.ContentLength = body.Length;
        return HttpMethods.IsHead(context.Request.Method) ? Task.CompletedTask : context.Response.Body.WriteAsync(body, context.RequestAborted).AsTask();
    }

    private static void Protect(IHeaderDictionary headers)
    {
        headers.CacheControl = "no-store";
        headers.XContentTypeOptions = "nosniff";
        headers.XFrameOptions = "DENY";
        headers.ContentSecurityPolicy = "default-src 'none'; frame-ancestors 'none'; base-uri 'none'; form-action 'none'";
        headers["Referrer-Policy"] = "no-referrer";
        headers["Cross-Origin-Resource-Policy"] = "same-origin";
        headers["Cross-Origin-Opener-Policy"] = "same-origin";
    }

    /// <summary>The watch decides when it is over, not a signal to the process.</summary>
    private sealed class NoLifetime : IHostLifetime
    {
        public Task WaitForStartAsync(CancellationToken cancellationToken) => Task.CompletedTask;

        public Task StopAsync(CancellationToken cancellationToken) => Task.CompletedTask;
    }
}
