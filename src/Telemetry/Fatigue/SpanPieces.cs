namespace Telemetry.Fatigue;

/// <summary>Stretches that may overlap, cut into pieces that do not: each piece belongs to the stretch that was given first.</summary>
internal sealed class SpanPieces
{
    private readonly int[] starts;
    private readonly int[] owners;

    private SpanPieces(int[] starts, int[] owners)
    {
        this.starts = starts;
        this.owners = owners;
    }

    /// <summary>Cuts.</summary>
    /// <param name="spans">Stretches.</param>
    /// <param name="place">Number of each key.</param>
    public static SpanPieces Of(ReadOnlySpan<ChargeSpan> spans, Dictionary<int, int> place)
    {
        // Ends sort before starts at the same sample, so that neighbours do not overlap.
        List<(int Sample, bool IsStart, int Span)> edges = new(2 * spans.Length);
        int[] key = new int[spans.Length];
        for (int i = 0; i < spans.Length; i++)
        {
            key[i] = place[spans[i].Key];
            if (spans[i].End > spans[i].First)
            {
                edges.Add((spans[i].First, true, i));
                edges.Add((spans[i].End, false, i));
            }
        }

        edges.Sort();
        SortedSet<int> open = [];
        List<int> starts = [];
        List<int> owners = [];
        for (int i = 0; i < edges.Count; i++)
        {
            (int sample, bool isStart, int span) = edges[i];
            _ = isStart ? open.Add(span) : open.Remove(span);
            if (i + 1 < edges.Count && edges[i + 1].Sample == sample)
            {
                continue;
            }

            starts.Add(sample);
            owners.Add(open.Count > 0 ? key[open.Min] : -1);
        }

        return new([.. starts], [.. owners]);
    }

    /// <summary>Number of the key that a sample belongs to.</summary>
    /// <param name="sample">Sample; below 0 for one of an earlier run, which belongs to no stretch.</param>
    /// <param name="near">Piece to look at first; receives the piece found.</param>
    /// <param name="none">Returned where no stretch covers the sample.</param>
    public int At(int sample, ref int near, int none)
    {
        if (sample < 0 || starts.Length == 0 || sample < starts[0])
        {
            return none;
        }

        if (sample < starts[near] || (near + 1 < starts.Length && sample >= starts[near + 1]))
        {
            int found = Array.BinarySearch(starts, sample);
            near = found >= 0 ? found : ~found - 1;
        }

        return owners[near] < 0 ? none : owners[near];
    }

    /// <summary>Samples of each key.</summary>
    /// <param name="keys">How many keys there are.</param>
    public int[] Samples(int keys)
    {
        int[] samples = new int[keys];
        for (int i = 0; i + 1 < starts.Length; i++)
        {
            if (owners[i] >= 0)
            {
                samples[owners[i]] += starts[i + 1] - starts[i];
            }
        }

        return samples;
    }
}
