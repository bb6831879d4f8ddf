using System.Collections.Concurrent;
using System.Runtime.ExceptionServices;

namespace Telemetry;

/// <summary>Runs numbered pieces of work on all processors; the outcome does not depend on which worker takes which piece.</summary>
internal static class Workers
{
    /// <summary>Runs all pieces; when some fail, the failure of the first of them is thrown.</summary>
    /// <remarks>Each worker takes the next piece when it has done its last: shared out in stretches, pieces of unequal length would leave a processor idle at the end. The longest belong first.</remarks>
    public static void Run(int count, Action<int> piece)
    {
        if (count == 1)
        {
            piece(0);
            return;
        }

        Exception?[] failures = new Exception?[count];
        ParallelOptions options = new() { MaxDegreeOfParallelism = Environment.ProcessorCount };
        Parallel.ForEach(Partitioner.Create(Enumerable.Range(0, count), EnumerablePartitionerOptions.NoBuffering), options, i =>
        {
            try
            {
                piece(i);
            }
            catch (Exception failure)
            {
                failures[i] = failure;
            }
        });
        if (Array.Find(failures, failure => failure is not null) is { } first)
        {
            ExceptionDispatchInfo.Throw(first);
        }
    }
}
