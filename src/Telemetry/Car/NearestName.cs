namespace Telemetry.Car;

/// <summary>Finds the known name that a mistyped one most likely means.</summary>
internal static class NearestName
{
    /// <summary>The nearest of the known names, or null when none is near enough to be a guess worth making.</summary>
    /// <remarks>
    /// Near enough is at most one edit for every three letters, at least two. Ties go to the name that is listed first.
    /// </remarks>
    public static string? Of(string name, IEnumerable<string> known)
    {
        string? best = null;
        int least = Math.Max(2, name.Length / 3) + 1;
        foreach (string candidate in known)
        {
            int distance = Distance(name, candidate);
            if (distance < least)
            {
                least = distance;
                best = candidate;
            }
        }

        return best;
    }

    /// <summary>Number of letters to put in, take out or change to get from one word to the other, case aside (Levenshtein 1966).</summary>
    public static int Distance(string from, string to)
    {
        int[] row = new int[to.Length + 1];
        for (int j = 0; j <= to.Length; j++)
        {
            row[j] = j;
        }

        for (int i = 1; i <= from.Length; i++)
        {
            int diagonal = row[0];
            row[0] = i;
            for (int j = 1; j <= to.Length; j++)
            {
                int above = row[j];
                int change = char.ToLowerInvariant(from[i - 1]) == char.ToLowerInvariant(to[j - 1]) ? 0 : 1;
                row[j] = Math.Min(Math.Min(row[j] + 1, row[j - 1] + 1), diagonal + change);
                diagonal = above;
            }
        }

        return row[to.Length];
    }
}
