using System.Collections.Immutable;
using Telemetry.Runs;

namespace Telemetry.Fatigue;

/// <summary>Cuts a run into equal pieces of the lap, so that damage can be charged to places on the track.</summary>
public static class LapPlaces
{
    /// <summary>The stretches of every lap; key k stands for the distances from k to k + 1 pieces.</summary>
    /// <param name="run">The run.</param>
    /// <param name="pieceM">Length of a piece, m, above 0.</param>
    /// <returns>In time order; samples without a distance lie in none. Empty without distances.</returns>
    /// <exception cref="ArgumentOutOfRangeException">The length is not above 0.</exception>
    public static ImmutableArray<ChargeSpan> Of(Run run, double pieceM)
    {
        ArgumentNullException.ThrowIfNull(run);
        if (!(pieceM > 0))
        {
            throw new ArgumentOutOfRangeException(nameof(pieceM), pieceM, "A piece of the lap must be longer than 0.");
        }

        if (run.LapDistanceM.IsEmpty)
        {
            return [];
        }

        SampleCursor distance = run.LapDistanceM.Cursor();
        var spans = ImmutableArray.CreateBuilder<ChargeSpan>();
        int open = -1;
        int start = 0;
        for (int i = 0; i <= distance.Length; i++)
        {
            int key = i < distance.Length && distance[i] >= 0 && double.IsFinite(distance[i]) ? (int)(distance[i] / pieceM) : -1;
            if (key == open && i < distance.Length)
            {
                continue;
            }

            if (open >= 0)
            {
                spans.Add(new(start, i, open));
            }

            open = key;
            start = i;
        }

        return spans.ToImmutable();
    }
}
