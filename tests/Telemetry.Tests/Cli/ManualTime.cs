namespace Telemetry.Tests.Cli;

/// <summary>A clock that a test moves; its timers ring while it does, on the thread of the test.</summary>
internal sealed class ManualTime : TimeProvider
{
    private readonly List<Bell> bells = [];

    private TimeSpan now;

    public override long TimestampFrequency => TimeSpan.TicksPerSecond;

    public override long GetTimestamp() => now.Ticks;

    public override ITimer CreateTimer(TimerCallback callback, object? state, TimeSpan dueTime, TimeSpan period)
    {
        Bell bell = new(() => callback(state)) { Next = now + dueTime, Period = period };
        bells.Add(bell);
        return bell;
    }

    /// <summary>Moves on, and rings what falls due in its order.</summary>
    public void Pass(double seconds)
    {
        TimeSpan end = now + TimeSpan.FromSeconds(seconds);
        while (bells.Where(bell => !bell.IsOver && bell.Next <= end).MinBy(bell => bell.Next) is { } next)
        {
            now = next.Next;
            next.Next += next.Period;
            next.Ring();
        }

        now = end;
    }

    private sealed class Bell(Action ring) : ITimer
    {
        public bool IsOver { get; private set; }

        public TimeSpan Next { get; set; }

        public TimeSpan Period { get; init; }

        public void Ring() => ring();

        public bool Change(TimeSpan dueTime, TimeSpan period) => throw new NotSupportedException();

        public void Dispose() => IsOver = true;

        public ValueTask DisposeAsync()
        {
            Dispose();
            return ValueTask.CompletedTask;
        }
    }
}
