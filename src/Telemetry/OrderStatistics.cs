namespace Telemetry;

/// <summary>Middle and scatter of numbers by their order, which a few wild ones cannot move.</summary>
internal static class OrderStatistics
{
    /// <summary>
    /// Makes the median absolute deviation of normal values their standard deviation: 1 over the upper quartile of the standard normal distribution,
    /// 1 / 0.67449 (P. J. Rousseeuw and C. Croux, Journal of the American Statistical Association 88 (1993) 1273; from memory).
    /// </summary>
    public const double NormalConsistency = 1.4826;

    /// <summary>Median: the middle value, or the mean of the middle two of an even count.</summary>
    /// <param name="values">Numbers, none of them NaN; left in another order.</param>
    /// <returns>NaN when there are none.</returns>
    public static double Median(Span<double> values)
    {
        if (values.IsEmpty)
        {
            return double.NaN;
        }

        int half = values.Length / 2;
        double upper = Select(values, half);
        if (values.Length % 2 == 1)
        {
            return upper;
        }

        // Selection leaves all that is not larger below the middle, so the lower of the middle two is the largest there.
        double lower = values[0];
        foreach (double value in values[1..half])
        {
            lower = Math.Max(lower, value);
        }

        return (lower + upper) / 2;
    }

    /// <summary>The value that would stand at a place if the numbers were sorted (C. A. R. Hoare, Algorithm 65, Communications of the ACM 4 (1961) 321).</summary>
    /// <param name="values">Numbers, none of them NaN; left with no larger one before the place and no smaller one behind it.</param>
    /// <param name="place">From 0.</param>
    /// <remarks>The pivot is the median of three, and sorting takes over should halving fail, so that no order of the input makes it slow.</remarks>
    internal static double Select(Span<double> values, int place)
    {
        int low = 0;
        int high = values.Length - 1;
        for (int splitsLeft = 2 * (1 + System.Numerics.BitOperations.Log2((uint)values.Length)); low < high; splitsLeft--)
        {
            if (splitsLeft == 0)
            {
                values[low..(high + 1)].Sort();
                break;
            }

            double pivot = MiddleOf(values[low], values[low + ((high - low) / 2)], values[high]);
            int left = low;
            int right = high;
            while (left <= right)
            {
                while (values[left] < pivot)
                {
                    left++;
                }

                while (values[right] > pivot)
                {
                    right--;
                }

                if (left <= right)
                {
                    (values[left], values[right]) = (values[right], values[left]);
                    left++;
                    right--;
                }
            }

            if (place <= right)
            {
                high = right;
            }
            else if (place >= left)
            {
                low = left;
            }
            else
            {
                break;
            }
        }

        return values[place];
    }

    private static double MiddleOf(double a, double b, double c) => Math.Max(Math.Min(a, b), Math.Min(Math.Max(a, b), c));
}
