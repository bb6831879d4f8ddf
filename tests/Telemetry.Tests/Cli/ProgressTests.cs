using Telemetry.Cli;

namespace Telemetry.Tests.Cli;

/// <summary>The line of progress, by a clock that the test moves. The shares of the steps are read from the code: what is held is what follows from them.</summary>
public sealed class ProgressTests : IDisposable
{
    /// <summary>Carriage return before, EL of ISO/IEC 6429 behind.</summary>
    private const string Wiped = "\r\u001b[K";

    private readonly ManualTime time = new();

    private readonly StringWriter error = new();

    public void Dispose() => error.Dispose();

    [Fact]
    public void Work_of_under_a_second_shows_nothing()
    {
        using (Progress progress = On(Terminal()))
        {
            progress.Step("reading the log");
            time.Pass(0.9);
        }

        Assert.Equal("", error.ToString());
    }

    [Fact]
    public void A_step_is_shown_after_a_second_and_wiped_at_the_end()
    {
        using (Progress progress = On(Terminal()))
        {
            progress.Step("reading the log");
            time.Pass(1);
            Assert.Equal("\r1 s so far: reading the log\u001b[K", error.ToString());
        }

        Assert.EndsWith(Wiped, error.ToString(), StringComparison.Ordinal);
        error.GetStringBuilder().Clear();
        time.Pass(5);
        Assert.Equal("", error.ToString());
    }

    [Fact]
    public void The_time_left_follows_from_the_share_that_is_done()
    {
        using Progress progress = On(Terminal());
        progress.Step("reading the log");
        time.Pass(4);
        double share = StageShares.Before("joining log and car")!.Value;
        progress.Step("joining log and car");
        time.Pass(0.2);
        // After 4 s a share is done: the whole takes 4 s over the share.
        Assert.Equal($"about {TimeLeft.Words(TimeSpan.FromSeconds((4 / share) - 4.2))} left: joining log and car", Last());
    }

    [Fact]
    public void A_step_longer_than_guessed_falls_back_to_the_time_that_went_by()
    {
        using Progress progress = On(Terminal());
        time.Pass(9);
        progress.Step("keeping the ledger");
        time.Pass(11);
        Assert.Equal("20 s so far: keeping the ledger", Last());
    }

    [Fact]
    public void Logs_side_by_side_are_counted_and_two_are_named()
    {
        using Progress progress = On(Terminal() with { ErrorColumns = () => 120 });
        progress.Expect(4);
        Progress.LogProgress first = progress.Begin("run1");
        using Progress.LogProgress second = progress.Begin("run2");
        first.Step("reading the log");
        second.Step("reading the log");
        time.Pass(10);
        first.Dispose();
        using Progress.LogProgress third = progress.Begin("run3");
        third.Step("reading the log");
        using Progress.LogProgress fourth = progress.Begin("run4");
        fourth.Step("reading the log");
        time.Pass(0.2);
        // One of four took 10 s, so 30 s are left less the 0.2 s since.
        Assert.Equal("1 of 4 logs done, about 30 s left: run2: reading the log; run3: reading the log; ...", Last());
    }

    [Fact]
    public void A_line_is_cut_to_the_terminals_width_so_that_it_can_be_wiped()
    {
        using Progress progress = On(Terminal() with { ErrorColumns = () => 40 });
        progress.Step(new string('x', 100));
        time.Pass(1);
        Assert.Equal(39, Last().Length);
        Assert.EndsWith("..", Last(), StringComparison.Ordinal);
    }

    [Theory]
    [InlineData(false, false)]
    [InlineData(true, true)]
    public void A_pipe_and_a_quiet_run_see_no_progress(bool isTerminal, bool isQuiet)
    {
        using (Progress progress = new(new Screen(TextWriter.Null, error, ErrorIsTerminal: isTerminal), isQuiet, time))
        {
            progress.Step("reading the log");
            time.Pass(60);
        }

        Assert.Equal("", error.ToString());
    }

    // Hand-made: a minute and above is told to ten seconds.
    [Theory]
    [InlineData(0.6, "1 s")]
    [InlineData(59.4, "59 s")]
    [InlineData(60, "1 min")]
    [InlineData(64, "1 min")]
    [InlineData(66, "1 min 10 s")]
    [InlineData(3600, "60 min")]
    public void A_time_in_words(double seconds, string words) => Assert.Equal(words, TimeLeft.Words(TimeSpan.FromSeconds(seconds)));

    [Fact]
    public void Before_a_tenth_is_done_and_once_it_has_run_out_nothing_is_guessed()
    {
        TimeLeft left = new();
        left.Reached(0.09, TimeSpan.FromSeconds(9));
        Assert.Null(left.At(TimeSpan.FromSeconds(9)));
        left.Reached(0.5, TimeSpan.FromSeconds(10));
        Assert.Equal(TimeSpan.FromSeconds(8), left.At(TimeSpan.FromSeconds(12)));
        Assert.Null(left.At(TimeSpan.FromSeconds(19.6)));
        Assert.Null(left.At(TimeSpan.FromSeconds(25)));
    }

    private Screen Terminal() => new(TextWriter.Null, error, ErrorIsTerminal: true);

    private Progress On(Screen screen) => new(screen, isQuiet: false, time);

    /// <summary>The line as it stands now.</summary>
    private string Last() => error.ToString().Split('\r')[^1].Replace("\u001b[K", "", StringComparison.Ordinal);
}
