namespace Telemetry.Cli.Days;

/// <summary>Runs pieces of work side by side within a budget of memory.</summary>
internal static class SideBySide
{
    /// <summary>Starts the pieces in their order, each as soon as it fits beside those that run; returns when all have ended.</summary>
    /// <remarks>A large piece at the head is waited for and not overtaken, so that it does not starve. A piece must not throw.</remarks>
    /// <param name="needs">Need of each piece, bytes.</param>
    /// <param name="budget">What all may have together, bytes.</param>
    /// <param name="atATime">Most pieces at a time.</param>
    /// <param name="work">Does a piece, by its number; called on a thread of its own.</param>
    public static void Run(IReadOnlyList<long> needs, long budget, int atATime, Action<int> work)
    {
        Lock gate = new();
        using SemaphoreSlim ended = new(0);
        List<long> running = [];
        List<Thread> threads = [];
        for (int i = 0; i < needs.Count; i++)
        {
            while (!TryStart(needs[i]))
            {
                ended.Wait();
            }

            int piece = i;
            Thread thread = new(() =>
            {
                work(piece);
                lock (gate)
                {
                    running.Remove(needs[piece]);
                }

                ended.Release();
            });
            threads.Add(thread);
            thread.Start();
        }

        threads.ForEach(thread => thread.Join());

        bool TryStart(long need)
        {
            lock (gate)
            {
                if (!MemoryBudget.MayStart(need, running, budget, atATime))
                {
                    return false;
                }

                running.Add(need);
                return true;
            }
        }
    }
}
