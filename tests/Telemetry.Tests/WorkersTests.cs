namespace Telemetry.Tests;

/// <summary>Pieces of work that run side by side: each once, whatever they hold, and the same failure whoever comes first.</summary>
public class WorkersTests
{
    [Theory]
    [InlineData(0)]
    [InlineData(1)]
    [InlineData(2)]
    [InlineData(1000)]
    public void Every_piece_runs_once(int count)
    {
        int[] runs = new int[count];
        Workers.Run(count, i => Interlocked.Increment(ref runs[i]));
        Assert.All(runs, times => Assert.Equal(1, times));
    }

    [Fact]
    public void Pieces_of_pieces_of_pieces_end()
    {
        int sum = 0;
        Workers.Run(5, _ => Workers.Run(7, _ => Workers.Run(11, _ => Interlocked.Increment(ref sum))));
        Assert.Equal(5 * 7 * 11, sum);
    }

    [Fact]
    public void Many_who_ask_at_once_all_get_their_pieces_done()
    {
        int[] sums = new int[12];
        Thread[] asking = [.. Enumerable.Range(0, sums.Length).Select(who => new Thread(() => Workers.Run(20, _ => Workers.Run(20, _ => Interlocked.Increment(ref sums[who])))))];
        foreach (Thread one in asking)
        {
            one.Start();
        }

        foreach (Thread one in asking)
        {
            one.Join();
        }

        Assert.All(sums, sum => Assert.Equal(400, sum));
    }

    [Fact]
    public void The_first_failure_in_the_order_of_the_pieces_comes_out_however_late_it_happens()
    {
        for (int round = 0; round < 20; round++)
        {
            using ManualResetEventSlim others = new();
            InvalidOperationException failure = Assert.Throws<InvalidOperationException>(() => Workers.Run(8, i =>
            {
                if (i == 0)
                {
                    // Where there is a second processor, its worker fails before this one does.
                    others.Wait(20);
                }

                others.Set();
                throw new InvalidOperationException($"{i}");
            }));
            Assert.Equal("0", failure.Message);
        }
    }

    [Fact]
    public void After_a_failure_no_more_pieces_are_begun()
    {
        int begun = 0;
        Assert.Throws<InvalidOperationException>(() => Workers.Run(100_000, _ =>
        {
            Interlocked.Increment(ref begun);
            throw new InvalidOperationException("no");
        }));
        Assert.InRange(begun, 1, 1000);
    }

    [Fact]
    public void A_failure_deep_inside_is_the_one_that_comes_out()
    {
        InputError error = Assert.Throws<InputError>(() => Workers.Steps(
            () => Workers.Run(3, i => _ = i == 1 ? throw new InputError("log.csv", "It is wrong.", "Correct it.") : 0),
            () => Thread.SpinWait(1000)));
        Assert.Equal("log.csv", error.Faults[0].Where);
    }

    [Fact]
    public void What_flows_with_who_asks_flows_to_his_pieces()
    {
        AsyncLocal<string> asked = new() { Value = "by this one" };
        string?[] seen = new string?[64];
        Workers.Run(seen.Length, i =>
        {
            Thread.SpinWait(10_000);
            seen[i] = asked.Value;
        });
        Assert.All(seen, value => Assert.Equal("by this one", value));
    }
}
