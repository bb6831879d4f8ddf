namespace Telemetry.Cli;

/// <summary>Says on the error stream what is being done: on a terminal in one line that is wiped at the end, else one line a step.</summary>
internal sealed class Progress : IDisposable
{
    private readonly Screen screen;
    private readonly bool isQuiet;
    private readonly Lock gate = new();
    private int width;

    public Progress(Screen screen, bool isQuiet)
    {
        this.screen = screen;
        this.isQuiet = isQuiet;
    }

    /// <summary>A new step; may be called from any thread.</summary>
    public void Step(string what)
    {
        if (isQuiet)
        {
            return;
        }

        lock (gate)
        {
            if (screen.ErrorIsTerminal)
            {
                screen.Error.Write("\r" + what.PadRight(width));
                width = what.Length;
            }
            else
            {
                screen.Error.WriteLine(what);
            }
        }
    }

    /// <summary>Wipes the line.</summary>
    public void Dispose()
    {
        if (!isQuiet && screen.ErrorIsTerminal)
        {
            lock (gate)
            {
                screen.Error.Write("\r" + new string(' ', width) + "\r");
            }
        }
    }
}
