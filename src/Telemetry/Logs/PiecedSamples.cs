namespace Telemetry.Logs;

/// <summary>A channel in packed pieces that follow each other; made into doubles each time it is read, the same to the bit as before they were packed.</summary>
internal sealed class PiecedSamples : SampleSource
{
    /// <summary>Samples of a piece where whoever packs has no pieces of its own.</summary>
    private const int PieceLength = 1 << 15;

    /// <summary>With a factor and an offset below this, what is packed as integers stays finite.</summary>
    private const double LargestScale = 1e200;

    private readonly PackedPiece[] _pieces;
    private readonly int[] _firsts;
    private readonly double _factor = 1;
    private readonly double _offset = -0.0;

    /// <summary>Pieces that follow each other.</summary>
    public PiecedSamples(PackedPiece[] pieces)
        : base(pieces.Sum(piece => piece.Length))
    {
        _pieces = [.. pieces.Where(piece => piece.Length > 0)];
        _firsts = new int[_pieces.Length];
        for (int p = 1; p < _firsts.Length; p++)
        {
            _firsts[p] = _firsts[p - 1] + _pieces[p - 1].Length;
        }
    }

    private PiecedSamples(PiecedSamples packed, double factor, double offset)
        : base(packed.Length)
    {
        (_pieces, _firsts, _factor, _offset) = (packed._pieces, packed._firsts, factor, offset);
    }

    /// <inheritdoc/>
    internal override bool IsFiniteThroughout => Math.Abs(_factor) < LargestScale && Math.Abs(_offset) < LargestScale && _pieces.All(piece => piece.IsFiniteThroughout);

    /// <summary>Packs samples.</summary>
    public static SampleSource Pack(ReadOnlySpan<double> samples)
    {
        PackedPiece[] pieces = new PackedPiece[(samples.Length + PieceLength - 1) / PieceLength];
        int decimals = 0;
        for (int p = 0; p < pieces.Length; p++)
        {
            pieces[p] = PackedPiece.Of(samples[(p * PieceLength)..Math.Min((p + 1) * PieceLength, samples.Length)], ref decimals);
        }

        return new PiecedSamples(pieces);
    }

    /// <inheritdoc/>
    public override double this[int index]
    {
        get
        {
            int p = PieceOf(index);
            return (_pieces[p][index - _firsts[p]] * _factor) + _offset;
        }
    }

    /// <inheritdoc/>
    internal override SampleSource Scaled(double factor, double offset) => PackedPiece.IsNothing(_factor, _offset) ? new PiecedSamples(this, factor, offset) : base.Scaled(factor, offset);

    /// <inheritdoc/>
    public override ReadOnlySpan<double> Read(int start, int count, Span<double> room)
    {
        int p = PieceOf(start);
        if (p >= 0 && start + count <= _firsts[p] + _pieces[p].Length)
        {
            return _pieces[p].Read(start - _firsts[p], count, room, _factor, _offset);
        }

        Span<double> samples = room[..count];
        for (int at = 0; at < count; p++)
        {
            int from = start + at - _firsts[p];
            Span<double> some = samples.Slice(at, Math.Min(count - at, _pieces[p].Length - from));
            ReadOnlySpan<double> read = _pieces[p].Read(from, some.Length, some, _factor, _offset);
            if (!read.Overlaps(some))
            {
                read.CopyTo(some);
            }

            at += some.Length;
        }

        return samples;
    }

    /// <summary>The piece that a sample lies in; below 0 when there is none.</summary>
    private int PieceOf(int sample)
    {
        // Pieces are about equally long.
        int p = _pieces.Length == 0 ? -1 : Math.Min(sample / _pieces[0].Length, _pieces.Length - 1);
        while (p > 0 && _firsts[p] > sample)
        {
            p--;
        }

        while (p + 1 < _pieces.Length && _firsts[p + 1] <= sample)
        {
            p++;
        }

        return p;
    }
}
