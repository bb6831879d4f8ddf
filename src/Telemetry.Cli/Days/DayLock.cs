using Telemetry.Output;

namespace Telemetry.Cli.Days;

/// <summary>Keeps two commands from writing one day at the same time. The system lets go of it when the process ends, however it ends.</summary>
internal sealed class DayLock : IDisposable
{
    private readonly FileStream stream;

    private DayLock(FileStream stream) => this.stream = stream;

    /// <summary>Takes a day's folder, which is made when it is not there.</summary>
    /// <exception cref="OutputError">Another command has it, or it cannot be written to.</exception>
    public static DayLock Take(string folder)
    {
        try
        {
            Directory.CreateDirectory(folder);
            return new(new FileStream(Path.Combine(folder, ".in-use"), FileMode.OpenOrCreate, FileAccess.ReadWrite, FileShare.None, 1, FileOptions.DeleteOnClose));
        }
        catch (UnauthorizedAccessException error)
        {
            throw new OutputError(folder, $"The folder cannot be written to ({error.Message.TrimEnd('.')}).", "Name another folder with --out; nothing was analysed.", error);
        }
        catch (IOException error)
        {
            throw new OutputError(folder, $"Another 'pushrod watch' or 'pushrod analyse' is writing this day, or the folder cannot be written to ({error.Message.TrimEnd('.')}).", "Wait until it has ended, or end it; or name another folder with --out.", error);
        }
    }

    public void Dispose() => stream.Dispose();
}
