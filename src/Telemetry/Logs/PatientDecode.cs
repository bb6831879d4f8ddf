namespace Telemetry.Logs;

/// <summary>Waits for the Parquet library no longer than its work can take.</summary>
internal static class PatientDecode
{
    /// <summary>A column takes milliseconds; one that takes this long and the time below for each row does not end.</summary>
    public const double LongestS = 5;

    /// <summary>Time for each row of a long column, s.</summary>
    public const double LongestSPerRow = 20e-6;

    /// <summary>Runs the library on a thread of its own: some damaged lengths keep it in an endless loop, which cannot be stopped, only left behind.</summary>
    /// <returns>Null when it throws, whatever it is, or does not end in time.</returns>
    public static T? Within<T>(double seconds, Func<T> work)
        where T : class
    {
        T? result = null;
        Thread worker = new(() =>
        {
            try
            {
                result = work();
            }
            catch (Exception)
            {
                // The library's decoders throw whatever damaged bytes lead them to; the caller refuses what gives no result.
                result = null;
            }
        })
        { IsBackground = true };
        worker.Start();
        return worker.Join(TimeSpan.FromSeconds(seconds)) ? result : null;
    }
}
