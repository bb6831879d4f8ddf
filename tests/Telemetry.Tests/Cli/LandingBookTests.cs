using CsCheck;
using Telemetry.Cli.Watching;
using Telemetry.Output.Days;
using Telemetry.Tests.Output.Days;

namespace Telemetry.Tests.Cli;

public class LandingBookTests
{
    private const int Polls = 3;
    private static readonly DateTime Noon = new(2026, 3, 31, 12, 0, 0, DateTimeKind.Utc);

    private static SeenFile At(long length, int second = 0, string path = "a.csv") => new(path, length, Noon.AddSeconds(second));

    private static LandingBook After(params SeenFile[] polls) => polls.Aggregate(LandingBook.Empty, (book, seen) => book.After([seen], Polls));

    private static LandingState State(LandingBook book) => book.Files["a.csv"].State;

    [Fact]
    public void A_file_settles_when_size_and_time_stamp_rest_for_so_many_polls()
    {
        Assert.Equal(LandingState.Arriving, State(After(At(1), At(1))));
        Assert.Equal(LandingState.Settled, State(After(At(1), At(1), At(1))));
        Assert.Equal(LandingState.Arriving, State(After(At(1), At(2), At(2))));
        Assert.Equal(LandingState.Arriving, State(After(At(1, 0), At(1, 1), At(1, 1))));
    }

    [Fact]
    public void A_file_that_is_renamed_into_place_rests_as_long_as_any_other() =>
        Assert.Equal(LandingState.Settled, State(LandingBook.Empty.After([At(9, 0, "a.csv.partial")], Polls).After([At(9)], Polls).After([At(9)], Polls).After([At(9)], Polls)));

    [Fact]
    public void A_taken_file_stays_taken_until_it_changes()
    {
        LandingBook taken = After(At(1), At(1), At(1)).With("a.csv", LandingState.Taken);
        Assert.True(taken.IsAtRest);
        Assert.Equal(LandingState.Taken, State(Enumerable.Repeat(At(1), 9).Aggregate(taken, (book, seen) => book.After([seen], Polls))));
        LandingBook grown = taken.After([At(2)], Polls);
        Assert.Equal((LandingState.Arriving, true), (State(grown), grown.Files["a.csv"].WasTaken));
    }

    [Fact]
    public void A_half_file_is_looked_at_again_and_stays_told_however_often_it_rests()
    {
        LandingBook book = After(At(1), At(1), At(1)).With("a.csv", LandingState.Half);
        Assert.Equal(LandingState.Half, State(book.After([At(1)], Polls)));
        book = book.After([At(1)], Polls).After([At(1)], Polls).After([At(1)], Polls);
        Assert.Equal((LandingState.Settled, true), (State(book), book.Files["a.csv"].IsTold));
        book = book.After([At(5)], Polls).After([At(5)], Polls).After([At(5)], Polls);
        Assert.Equal((LandingState.Settled, true), (State(book), book.Files["a.csv"].IsTold));
        Assert.Equal(WatchStep.StayHalf, WatchSteps.Of(book.Files["a.csv"], "cut", null, ""));
    }

    [Fact]
    public void A_file_that_has_gone_is_forgotten() => Assert.Empty(After(At(1), At(1)).After([], Polls).Files);

    [Fact]
    public void A_file_that_still_changes_never_settles_and_one_that_rests_always_does() =>
        Gen.Long[0, 3].Array[1, 12].Sample(lengths =>
        {
            LandingBook book = LandingBook.Empty;
            for (int i = 0; i < lengths.Length; i++)
            {
                book = book.After([At(lengths[i])], Polls);
                bool rests = i >= Polls - 1 && lengths[(i - Polls + 1)..(i + 1)].Distinct().Count() == 1;
                if (rests != (State(book) == LandingState.Settled))
                {
                    return false;
                }
            }

            return true;
        });

    [Fact]
    public void What_to_do_next_hangs_on_the_content_and_the_car()
    {
        Landing landing = After(At(1), At(1), At(1)).Files["a.csv"];
        DayRun done = SampleDays.Run(1, "a.csv", car: "old"), failed = SampleDays.Run(2, "a.csv", error: "No.", car: "old");
        Assert.Equal(WatchStep.TellHalf, WatchSteps.Of(landing, "cut", null, "old"));
        Assert.Equal(WatchStep.Analyse, WatchSteps.Of(landing, null, null, "old"));
        Assert.Equal(WatchStep.Skip, WatchSteps.Of(landing, null, done, "old"));
        // What was analysed is not analysed again for a newer car file; what failed is.
        Assert.Equal(WatchStep.Skip, WatchSteps.Of(landing, null, done, "new"));
        Assert.Equal(WatchStep.Skip, WatchSteps.Of(landing, null, failed, "old"));
        Assert.Equal(WatchStep.Analyse, WatchSteps.Of(landing, null, failed, "new"));
    }
}
