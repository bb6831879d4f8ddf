namespace Telemetry.Cli;

/// <summary>
/// Shows on a terminal, in one line of the error stream, what is being done and how long it may still take; the line is wiped at the
/// end. Nothing is shown on a pipe, and nothing for work that is done within a second.
/// </summary>
/// <remarks>
/// For one log: <see cref="Step"/>. For several, also side by side: <see cref="Expect"/>, then for each log a <see cref="Begin"/> that is
/// disposed when the log is done. All may be called from any thread.
/// </remarks>
internal sealed class Progress : IDisposable
{
    /// <summary>Work shorter than this shows nothing: a line that comes and goes is a flicker.</summary>
    public static readonly TimeSpan Patience = TimeSpan.FromSeconds(1);

    private static readonly TimeSpan Redraw = TimeSpan.FromMilliseconds(200);

    private readonly Screen screen;
    private readonly TimeProvider time;
    private readonly long start;
    private readonly ITimer? timer;
    private readonly Interruption? interruption;
    private readonly Lock gate = new();
    private readonly TimeLeft left = new();
    private readonly List<LogProgress> running = [];
    private int expected = 1;
    private int done;
    private string what = "";
    private bool isDrawn;
    private bool isOver;

    /// <summary>Begins to watch the work.</summary>
    /// <param name="screen">Where it is shown.</param>
    /// <param name="isQuiet">True to show nothing.</param>
    /// <param name="time">The clock; the system's when null.</param>
    /// <param name="stopsAtNextStep">False where somebody else hears Ctrl+C and lets the work come to its end.</param>
    public Progress(Screen screen, bool isQuiet, TimeProvider? time = null, bool stopsAtNextStep = true)
    {
        this.screen = screen;
        this.time = time ?? TimeProvider.System;
        start = this.time.GetTimestamp();
        interruption = screen.IsProcess && stopsAtNextStep ? new Interruption(() => Draw()) : null;
        timer = !isQuiet && screen.ErrorIsTerminal ? this.time.CreateTimer(_ => Draw(), null, Patience, Redraw) : null;
    }

    private TimeSpan Elapsed => time.GetElapsedTime(start);

    /// <summary>How many logs the work holds; 1 when never said.</summary>
    public void Expect(int logs)
    {
        lock (gate)
        {
            expected = Math.Max(1, logs);
        }
    }

    /// <summary>A log's work begins; disposing what is returned says that it is done.</summary>
    /// <param name="name">What to call it.</param>
    public LogProgress Begin(string name)
    {
        LogProgress log = new(this, name);
        lock (gate)
        {
            running.Add(log);
        }

        return log;
    }

    /// <summary>A new step of the only log.</summary>
    /// <exception cref="OperationCanceledException">A person pressed Ctrl+C.</exception>
    public void Step(string what) => StepOf(null, what);

    /// <summary>Wipes the line.</summary>
    public void Dispose()
    {
        timer?.Dispose();
        interruption?.Dispose();
        lock (gate)
        {
            isOver = true;
            if (isDrawn)
            {
                screen.Error.Write("\r\u001b[K");
                isDrawn = false;
            }
        }
    }

    private void StepOf(LogProgress? log, string step)
    {
        if (interruption?.IsAsked == true)
        {
            throw new OperationCanceledException($"Stopped by Ctrl+C before '{SafeText.Of(step)}'.");
        }

        lock (gate)
        {
            what = step;
            double share = StageShares.Before(step) ?? 0;
            if (log is not null)
            {
                log.Share = share;
            }

            left.Reached((done + (log is null ? share : running.Sum(one => one.Share))) / expected, Elapsed);
        }
    }

    private void Done(LogProgress log)
    {
        lock (gate)
        {
            if (running.Remove(log))
            {
                done++;
                left.Reached((done + running.Sum(one => one.Share)) / expected, Elapsed);
            }
        }
    }

    private void Draw()
    {
        lock (gate)
        {
            if (isOver || timer is null || Elapsed < Patience)
            {
                return;
            }

            int room = Math.Max(Screen.FewestColumns, screen.ErrorColumns?.Invoke() ?? Screen.UsualColumns) - 1;
            string text = SafeText.Of(Words());
            // EL of ISO/IEC 6429 clears what the line before left behind its end.
            screen.Error.Write("\r" + (text.Length <= room ? text : string.Concat(text.AsSpan(0, room - 2), "..")) + "\u001b[K");
            isDrawn = true;
        }
    }

    private string Words()
    {
        if (interruption?.IsAsked == true)
        {
            return "stopping after this step; Ctrl+C again stops at once";
        }

        TimeSpan elapsed = Elapsed;
        string clock = left.At(elapsed) is { } rest ? $"about {TimeLeft.Words(rest)} left" : $"{TimeLeft.Words(elapsed)} so far";
        string where = expected == 1 ? "" : FormattableString.Invariant($"{done} of {expected} logs done, ");
        string names = running.Count == 0 ? what : string.Join("; ", running.Take(2).Select(log => $"{log.Name}: {log.What}")) + (running.Count > 2 ? "; ..." : "");
        return $"{where}{clock}: {names}";
    }

    /// <summary>One log's work.</summary>
    internal sealed class LogProgress(Progress progress, string name) : IDisposable
    {
        /// <summary>What to call it.</summary>
        public string Name { get; } = name;

        /// <summary>The step that it is in.</summary>
        public string What { get; private set; } = "";

        /// <summary>Share of its work that is done, 0 to 1.</summary>
        internal double Share { get; set; }

        /// <summary>A new step of this log.</summary>
        /// <exception cref="OperationCanceledException">A person pressed Ctrl+C.</exception>
        public void Step(string what)
        {
            What = what;
            progress.StepOf(this, what);
        }

        /// <inheritdoc/>
        public void Dispose() => progress.Done(this);
    }
}
