using System.Runtime.Intrinsics;

namespace Telemetry;

/// <summary>Middle and scatter of numbers by their order, which a few wild ones cannot move.</summary>
internal static class OrderStatistics
{
    /// <summary>
    /// Makes the median absolute deviation of normal values their standard deviation: 1 over the upper quartile of the standard normal distribution,
    /// 1 / 0.67449 (P. J. Rousseeuw and C. Croux, Journal of the American Statistical Association 88 (1993) 1273; from memory).
    /// </summary>
    public const double NormalConsistency = 1.4826;

    private const int FewValues = 40;

    /// <summary>Median: the middle value, or the mean of the middle two of an even count.</summary>
    /// <param name="values">Numbers, none of them NaN; left in another order.</param>
    /// <returns>NaN when there are none.</returns>
    public static double Median(Span<double> values)
    {
        if (values.IsEmpty)
        {
            return double.NaN;
        }

        if (values.Length <= FewValues)
        {
            return MedianOfFew(values);
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

    /// <summary>Among few values each is asked how many are smaller and how many are not larger: more comparisons than a selection makes, but four at a time and without a branch that the processor has to guess.</summary>
    private static double MedianOfFew(ReadOnlySpan<double> values)
    {
        int upperPlace = values.Length / 2, lowerPlace = (values.Length - 1) / 2;
        double upper = double.NaN, lower = double.NaN;
        for (int i = 0; i < values.Length && (double.IsNaN(upper) || double.IsNaN(lower)); i++)
        {
            (int smaller, int notLarger) = Ranks(values, values[i]);
            upper = smaller <= upperPlace && upperPlace < notLarger ? values[i] : upper;
            lower = smaller <= lowerPlace && lowerPlace < notLarger ? values[i] : lower;
        }

        return upperPlace == lowerPlace ? upper : (lower + upper) / 2;
    }

    /// <summary>How many of some values are smaller than one, and how many are not larger.</summary>
    internal static (int Smaller, int NotLarger) Ranks(ReadOnlySpan<double> values, double value)
    {
        int at = 0, smaller = 0, notLarger = 0;
        Vector256<double> four = Vector256.Create(value);
        Vector256<long> smallers = Vector256<long>.Zero, notLargers = Vector256<long>.Zero;
        for (; at <= values.Length - Vector256<double>.Count; at += Vector256<double>.Count)
        {
            // A comparison that holds is minus one.
            Vector256<double> others = Vector256.Create(values[at..]);
            smallers -= Vector256.LessThan(others, four).AsInt64();
            notLargers -= Vector256.LessThanOrEqual(others, four).AsInt64();
        }

        for (; at < values.Length; at++)
        {
            smaller += values[at] < value ? 1 : 0;
            notLarger += values[at] <= value ? 1 : 0;
        }

        return (smaller + (int)Vector256.Sum(smallers), notLarger + (int)Vector256.Sum(notLargers));
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
