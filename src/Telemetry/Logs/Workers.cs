namespace Telemetry.Logs;

/// <summary>Runs numbered pieces of work on all processors; the outcome does not depend on which worker takes which piece.</summary>
internal static class Workers
{
    /// <summary>Runs all pieces; when some fail, the failure of the first of them is thrown.</summary>
    public static void Run(int count, Action<int> piece)
    {
        if (count == 1)
        {
            piece(0);
            return;
        }

        Exception?[] failures = new Exception?[count];
        Parallel.For(0, count, new ParallelOptions { MaxDegreeOfParallelism = Environment.ProcessorCount }, i =>
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
            System.Runtime.ExceptionServices.ExceptionDispatchInfo.Throw(first);
        }
    }
}
