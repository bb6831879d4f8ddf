using System.Collections.Immutable;

namespace Telemetry.Platform;

/// <summary>The nearest stack from a store that holds only so many of each thickness.</summary>
internal static class LimitedStack
{
    /// <summary>The stack that comes nearest, of as few shims as possible; between two that are as near, the thinner.</summary>
    /// <param name="wanted">Wanted thickness, whole grid steps, not below 0.</param>
    /// <param name="steps">Thicknesses, whole grid steps.</param>
    /// <param name="most">How many of each may be taken.</param>
    /// <param name="gridM">One grid step, m.</param>
    public static ImmutableArray<ShimCount> Nearest(int wanted, int[] steps, int[] most, double gridM)
    {
        // Thickness by thickness: fewest shims for each amount with those taken so far, and how many of the present one that takes.
        int top = wanted + steps.DefaultIfEmpty(0).Max();
        int[] fewest = [.. Enumerable.Repeat(int.MaxValue, top + 1)];
        fewest[0] = 0;
        int[][] taken = new int[steps.Length][];
        for (int s = 0; s < steps.Length; s++)
        {
            int[] next = [.. fewest];
            taken[s] = new int[top + 1];
            for (int amount = 0; amount <= top; amount++)
            {
                for (int count = 1; steps[s] > 0 && count <= most[s] && count * steps[s] <= amount; count++)
                {
                    int before = fewest[amount - (count * steps[s])];
                    if (before < int.MaxValue && before + count < next[amount])
                    {
                        next[amount] = before + count;
                        taken[s][amount] = count;
                    }
                }
            }

            fewest = next;
        }

        int best = 0;
        for (int amount = 1; amount <= top; amount++)
        {
            if (fewest[amount] < int.MaxValue && Math.Abs(amount - wanted) < Math.Abs(best - wanted))
            {
                best = amount;
            }
        }

        List<ShimCount> stack = [];
        for (int s = steps.Length - 1; s >= 0; s--)
        {
            if (taken[s][best] is > 0 and int count)
            {
                stack.Add(new(steps[s] * gridM, count));
                best -= count * steps[s];
            }
        }

        return [.. stack.OrderByDescending(shim => shim.ThicknessM)];
    }
}
