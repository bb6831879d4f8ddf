using System.Runtime.ExceptionServices;

namespace Telemetry;

/// <summary>Runs numbered pieces of work on all processors; the outcome does not depend on which worker takes which piece.</summary>
/// <remarks>
/// A piece may have pieces of its own. Whoever asks works on his own; helpers, one fewer than processors however deep the pieces lie in each other, take from what was asked for first,
/// so that a long line of stages keeps a processor to itself while there is other work for the others. While somebody waits for his last pieces, one more may help.
/// </remarks>
internal static class Workers
{
    private static readonly Lock Gate = new();

    /// <summary>Work with pieces that nobody has taken yet, in the order in which it was asked for.</summary>
    private static readonly List<Batch> Open = [];
    private static int _helping;
    private static int _waiting;

    /// <summary>Runs all pieces; when some fail, no more are begun and the failure of the first of them is thrown.</summary>
    /// <remarks>Each worker takes the next piece when it has done its last: shared out in stretches, pieces of unequal length would leave a processor idle at the end. The longest belong first.</remarks>
    public static void Run(int count, Action<int> piece)
    {
        if (count <= 1)
        {
            if (count == 1)
            {
                piece(0);
            }

            return;
        }

        Batch batch = new(count, piece);
        lock (Gate)
        {
            Open.Add(batch);
            CallHelper();
        }

        while (Take(batch) is int i)
        {
            batch.Do(i);
            Done(batch);
        }

        WaitForOthers(batch);
        batch.ThrowFirst();
    }

    /// <summary>Runs steps side by side, begun in the order given: the longest belong first.</summary>
    public static void Steps(params Action[] steps) => Run(steps.Length, i => steps[i]());

    private static int Helpers => Environment.ProcessorCount - 1 + _waiting;

    /// <summary>Under the lock: one more helper where there is work and a processor for it.</summary>
    private static void CallHelper()
    {
        if (Open.Count > 0 && _helping < Helpers)
        {
            _helping++;
            ThreadPool.UnsafeQueueUserWorkItem(static _ => Help(), null);
        }
    }

    private static void Help()
    {
        while (true)
        {
            Batch batch;
            int piece;
            lock (Gate)
            {
                if (Open.Count == 0 || _helping > Helpers)
                {
                    _helping--;
                    return;
                }

                batch = Open[0];
                piece = TakeNext(batch);
            }

            if (batch.Context is { } context)
            {
                ExecutionContext.Run(context, _ => batch.Do(piece), null);
            }
            else
            {
                batch.Do(piece);
            }

            Done(batch);
        }
    }

    private static int? Take(Batch batch)
    {
        lock (Gate)
        {
            return batch.Left > 0 ? TakeNext(batch) : null;
        }
    }

    /// <summary>Under the lock, while pieces are left.</summary>
    private static int TakeNext(Batch batch)
    {
        int piece = batch.Next++;
        batch.Running++;
        if (batch.Left == 0)
        {
            Open.Remove(batch);
        }

        return piece;
    }

    private static void Done(Batch batch)
    {
        lock (Gate)
        {
            batch.Running--;
            if (batch.HasFailed && batch.Left > 0)
            {
                // Pieces are begun in their order, so the first that fails is among those that were begun.
                batch.Next = batch.Count;
                Open.Remove(batch);
            }

            if (batch.Left == 0 && batch.Running == 0)
            {
                batch.AllDone.Set();
            }
        }
    }

    private static void WaitForOthers(Batch batch)
    {
        if (!batch.AllDone.IsSet)
        {
            lock (Gate)
            {
                _waiting++;
                CallHelper();
            }

            batch.AllDone.Wait();
            lock (Gate)
            {
                _waiting--;
            }
        }
    }

    private sealed class Batch(int count, Action<int> piece)
    {
        private readonly Exception?[] _failures = new Exception?[count];

        public int Count => count;

        public int Next { get; set; }

        public int Left => count - Next;

        public int Running { get; set; }

        public bool HasFailed { get; private set; }

        public ManualResetEventSlim AllDone { get; } = new();

        /// <summary>Culture and the like of who asked; null where he lets none flow.</summary>
        public ExecutionContext? Context { get; } = ExecutionContext.Capture();

        public void Do(int i)
        {
            try
            {
                piece(i);
            }
            catch (Exception failure)
            {
                _failures[i] = failure;
                HasFailed = true;
            }
        }

        public void ThrowFirst()
        {
            if (HasFailed)
            {
                ExceptionDispatchInfo.Throw(Array.Find(_failures, failure => failure is not null)!);
            }
        }
    }
}
