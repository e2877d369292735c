using System.Buffers;
using System.IO.Pipelines;

namespace OilWatch.Reading;

/// <summary>The one loop that moves bytes from a pipe to a record handler. Memory is bounded whatever comes.</summary>
/// <remarks>
/// Records are offered from one contiguous buffer, so a handler never sees a record in pieces; copying into it costs
/// a few percent of parsing. A record longer than <see cref="MaxRecordBytes"/> is reported and skipped to the end of its line.
/// </remarks>
internal static class RecordPump
{
    /// <summary>The longest record, bytes; a 1 GB line costs no more memory than this.</summary>
    public const int MaxRecordBytes = 256 * 1024;

    private const int BufferBytes = 2 * MaxRecordBytes;
    private const int ReadBytes = 256 * 1024;

    /// <summary>Pumps a stream to its end.</summary>
    /// <returns>Bytes read.</returns>
    public static async ValueTask<long> PumpAsync(Stream stream, IRecordHandler handler, CancellationToken cancellationToken)
    {
        PipeReader reader = PipeReader.Create(stream, new StreamPipeReaderOptions(bufferSize: ReadBytes, minimumReadSize: ReadBytes / 2, leaveOpen: true));
        try
        {
            return await PumpAsync(reader, handler, MaxRecordBytes, cancellationToken).ConfigureAwait(false);
        }
        finally
        {
            await reader.CompleteAsync().ConfigureAwait(false);
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
                foreach (ReadOnlyMemory<byte> segment in read.Buffer) pump.Take(segment.Span);
                reader.AdvanceTo(read.Buffer.End);
                if (!read.IsCompleted) { pump.Drain(final: false); continue; }
                pump.Drain(final: true);
                return pump.Total;
            }
        }
        finally
        {
            ArrayPool<byte>.Shared.Return(buffer);
        }
    }

    /// <summary>The contiguous buffer and what it holds.</summary>
    private sealed class State(byte[] buffer, IRecordHandler handler, int maxRecordBytes)
    {
        private int _filled;
        private bool _skipping;

        public long Total { get; private set; }

        public void Take(ReadOnlySpan<byte> bytes)
        {
            Total += bytes.Length;
            while (!bytes.IsEmpty)
            {
                if (_filled == buffer.Length) Drain(final: false);
                int count = Math.Min(bytes.Length, buffer.Length - _filled);
                bytes[..count].CopyTo(buffer.AsSpan(_filled));
                _filled += count;
                bytes = bytes[count..];
            }
        }

        public void Drain(bool final)
        {
            int start = 0;
            if (_skipping && !SkipRestOfLine(ref start)) return;
            int used = handler.Handle(buffer.AsSpan(start, _filled - start), final);
            start += used;
            if (!final && _filled - start > maxRecordBytes)
            {
                handler.TooLong(buffer.AsSpan(start, Math.Min(80, _filled - start)));
                _skipping = true;
                if (!SkipRestOfLine(ref start)) return;
            }
            Keep(start);
        }

        private bool SkipRestOfLine(ref int start)
        {
            int newline = buffer.AsSpan(start, _filled - start).IndexOf((byte)'\n');
            if (newline < 0)
            {
                _filled = 0;
                return false;
            }
            start += newline + 1;
            _skipping = false;
            return true;
        }

        private void Keep(int start)
        {
            int rest = _filled - start;
            if (start > 0 && rest > 0) buffer.AsSpan(start, rest).CopyTo(buffer);
            _filled = rest;
        }
    }
}
