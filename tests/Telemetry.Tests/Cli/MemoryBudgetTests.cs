using CsCheck;
using Telemetry.Cli.Days;

namespace Telemetry.Tests.Cli;

public class MemoryBudgetTests
{
    [Fact]
    public void One_run_alone_may_always_start() => Assert.True(MemoryBudget.MayStart(long.MaxValue, [], 0, 2));

    [Fact]
    public void A_log_that_cannot_fit_is_refused_with_both_sizes()
    {
        Assert.Null(MemoryBudget.WhyTooLarge(numbers: 76_000_000, memoryBytes: 1_000_000_000));

        // 24 hours of 21 columns at 1 kHz.
        Assert.Equal(
            "The log holds about 1814 million numbers, whose analysis takes at least 11.1 GB of memory; this machine gives 8.0 GB.",
            MemoryBudget.WhyTooLarge(numbers: 1_814_400_000, memoryBytes: 8_000_000_000));
    }

    [Fact]
    public void Another_starts_only_where_memory_and_processors_are_left()
    {
        Assert.True(MemoryBudget.MayStart(40, [60], 100, 2));
        Assert.False(MemoryBudget.MayStart(41, [60], 100, 2));
        Assert.False(MemoryBudget.MayStart(1, [1, 1], 100, 2));
    }

    [Fact]
    public void Whatever_the_needs_all_are_done_in_their_order_of_start_and_within_the_budget() =>
        Gen.Select(Gen.Long[0, 120].Array[0, 12], Gen.Int[1, 3]).Sample((needs, atATime) =>
        {
            Lock gate = new();
            List<long> running = [];
            List<int> begun = [];
            bool isWithin = true;
            SideBySide.Run(needs, 100, atATime, i =>
            {
                lock (gate)
                {
                    begun.Add(i);
                    running.Add(needs[i]);
                    isWithin &= running.Count <= atATime && (running.Count == 1 || running.Sum() <= 100);
                }

                Thread.Yield();
                lock (gate)
                {
                    running.Remove(needs[i]);
                }
            });
            return isWithin && begun.Order().SequenceEqual(Enumerable.Range(0, needs.Length));
        }, iter: 50);
}
