namespace Telemetry.Car;

/// <summary>Finds the known name that a mistyped one most likely means.</summary>
internal static class NearestName
{
    /// <summary>A longer word is no slip of a known name; the work grows with its length.</summary>
    private const int LongestName = 80;

    /// <summary>The nearest of the known names, or null when none is near enough to be a guess worth making.</summary>
    /// <remarks>
    /// Near enough is at most one edit for every three letters, at least two. Ties go to the name that is listed first.
    /// </remarks>
    public static string? Of(string name, IEnumerable<string> known)
    {
        if (name.Length > LongestName)
        {
            return null;
        }

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

    /// <summary>
    /// Number of edits from one word to the other, case aside: a letter put in, taken out or changed, or two neighbours swapped
    /// (optimal string alignment; Damerau, Communications of the ACM 7 (1964) 171).
    /// </summary>
    public static int Distance(string from, string to)
    {
        int[,] edits = new int[from.Length + 1, to.Length + 1];
        for (int i = 0; i <= from.Length; i++)
        {
            for (int j = 0; j <= to.Length; j++)
            {
                if (i == 0 || j == 0)
                {
                    edits[i, j] = i + j;
                    continue;
                }

                int change = Same(from[i - 1], to[j - 1]) ? 0 : 1;
                int least = Math.Min(Math.Min(edits[i - 1, j], edits[i, j - 1]) + 1, edits[i - 1, j - 1] + change);
                if (i > 1 && j > 1 && Same(from[i - 1], to[j - 2]) && Same(from[i - 2], to[j - 1]))
                {
                    least = Math.Min(least, edits[i - 2, j - 2] + 1);
                }

                edits[i, j] = least;
            }
        }

        return edits[from.Length, to.Length];
    }

    private static bool Same(char a, char b) => char.ToLowerInvariant(a) == char.ToLowerInvariant(b);
}
