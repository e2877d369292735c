using System.Buffers;
using System.Diagnostics;
using System.IO.Pipelines;

namespace OilWatch.Reading;

/// <summary>The one loop that moves bytes from a stream or a pipe to a record handler. Memory is bounded whatever comes.</summary>
/// <remarks>
/// Records are offered from one contiguous buffer, so a handler never sees a record in pieces. A record longer than the limit,
/// its line end included, is reported and skipped to the end of its line. Which records are too long does not depend
/// on how the bytes were cut: a handler is never shown more than the limit at once.
/// </remarks>
internal static class RecordPump
{
    /// <summary>The longest record with its line end, bytes; a 1 GB line costs no more memory than this.</summary>
    public const int MaxRecordBytes = 256 * 1024;

    private const int BeginningBytes = 80;

    /// <summary>Pumps a stream to its end.</summary>
    /// <returns>Bytes read.</returns>
    public static ValueTask<long> PumpAsync(Stream stream, IRecordHandler handler, CancellationToken cancellationToken) =>
        PumpAsync(stream, handler, MaxRecordBytes, cancellationToken);

    /// <summary>Pumps a stream to its end.</summary>
    /// <param name="stream">Where the bytes come from; left open. Read straight into the buffer that is parsed.</param>
    /// <param name="handler">Takes them.</param>
    /// <param name="maxRecordBytes">The longest record.</param>
    /// <param name="cancellationToken">Looked at once a read.</param>
    /// <returns>Bytes read.</returns>
    public static async ValueTask<long> PumpAsync(
        Stream stream, IRecordHandler handler, int maxRecordBytes, CancellationToken cancellationToken)
    {
        byte[] buffer = ArrayPool<byte>.Shared.Rent(Math.Max(2 * maxRecordBytes, 64));
        try
        {
            var pump = new State(buffer, handler, maxRecordBytes);
            while (true)
            {
                cancellationToken.ThrowIfCancellationRequested();
                int count = await stream.ReadAsync(pump.Room, cancellationToken).ConfigureAwait(false);
                if (count == 0) break;
                pump.Took(count);
            }
            pump.Finish();
            return pump.Total;
        }
        finally
        {
            ArrayPool<byte>.Shared.Return(buffer);
        }
    }

    /// <summary>Pumps a pipe to its end.</summary>
    /// <param name="reader">Where the bytes come from; not completed here.</param>
    /// <param name="handler">Takes them.</param>
    /// <param name="maxRecordBytes">The longest record.</param>
    /// <param name="cancellationToken">Looked at once a read.</param>
    /// <returns>Bytes read.</returns>
    public static async ValueTask<long> PumpAsync(
        PipeReader reader, IRecordHandler handler, int maxRecordBytes, CancellationToken cancellationToken)
    {
        byte[] buffer = ArrayPool<byte>.Shared.Rent(Math.Max(2 * maxRecordBytes, 64));
        try
        {
            var pump = new State(buffer, handler, maxRecordBytes);
            while (true)
            {
                ReadResult read = await reader.ReadAsync(cancellationToken).ConfigureAwait(false);
                if (read.IsCanceled) throw new OperationCanceledException(cancellationToken);
                try
                {
                    foreach (ReadOnlyMemory<byte> segment in read.Buffer) pump.Take(segment.Span);
                }
                finally
                {
                    reader.AdvanceTo(read.Buffer.End);
                }
                if (!read.IsCompleted) continue;
                pump.Finish();
                return pump.Total;
            }
        }
        finally
        {
            ArrayPool<byte>.Shared.Return(buffer);
        }
    }

    /// <summary>The contiguous buffer and what it holds. After every call there is room for at least the longest record.</summary>
    private sealed class State(byte[] buffer, IRecordHandler handler, int maxRecordBytes)
    {
        private int _filled;
        private bool _skipping;

        public long Total { get; private set; }

        /// <summary>Where the next bytes go; never empty.</summary>
        public Memory<byte> Room => buffer.AsMemory(_filled);

        public void Take(ReadOnlySpan<byte> bytes)
        {
            while (!bytes.IsEmpty)
            {
                int count = Math.Min(bytes.Length, buffer.Length - _filled);
                bytes[..count].CopyTo(buffer.AsSpan(_filled));
                bytes = bytes[count..];
                Took(count);
            }
        }

        public void Took(int count)
        {
            // Without a new line end (LF, CR, or the BEL of SLCAN) no record can have been completed, and looking again at the
            // beginning of a long record with every byte that comes would be quadratic.
            bool mayEnd = buffer.AsSpan(_filled, count).IndexOfAny((byte)'\n', (byte)'\r', (byte)'\a') >= 0;
            Total += count;
            _filled += count;
            if (mayEnd || _filled > maxRecordBytes) Drain();
        }

        public void Finish()
        {
            Drain();
            int used = handler.Handle(buffer.AsSpan(0, _filled), final: true);
            Debug.Assert(used == _filled, "A handler uses every byte of the last stretch.");
            _filled = 0;
        }

        private void Drain()
        {
            int start = 0;
            while (start < _filled)
            {
                if (_skipping && !SkipRestOfLine(ref start)) break;
                int rest = _filled - start;
                int used = handler.Handle(buffer.AsSpan(start, Math.Min(rest, maxRecordBytes)), final: false);
                start += used;
                if (used > 0) continue;
                if (rest <= maxRecordBytes) break;
                handler.TooLong(buffer.AsSpan(start, Math.Min(BeginningBytes, rest)));
                _skipping = true;
            }
            Keep(start);
        }

        private bool SkipRestOfLine(ref int start)
        {
            int lineEnd = buffer.AsSpan(start, _filled - start).IndexOf(handler.LineEnd);
            start = lineEnd < 0 ? _filled : start + lineEnd + 1;
            _skipping = lineEnd < 0;
            return lineEnd >= 0;
        }

        private void Keep(int start)
        {
            int rest = _filled - start;
            if (start > 0 && rest > 0) buffer.AsSpan(start, rest).CopyTo(buffer);
            _filled = rest;
        }
    }
}
