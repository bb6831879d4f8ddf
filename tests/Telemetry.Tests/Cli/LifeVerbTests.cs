using Telemetry.Ledger;
using Telemetry.Ledgers;
using Telemetry.Tests.Ledger;
using Telemetry.Tests.Output;

namespace Telemetry.Tests.Cli;

public class LifeVerbTests
{
    private static CommandRun Life(string ledger, params string[] words) => CommandRun.Of(["life", .. words, "--ledger", ledger]);

    private static string WithRuns(TemporaryFolder folder, int runs)
    {
        LedgerDatabase ledger = LedgerDatabase.Open(LedgerAddress.Read(folder["parts.db"]), LedgerRuns.Now);
        for (int i = 0; i < runs; i++)
        {
            ledger.Record(LedgerRuns.At(60 * i, LedgerRuns.Run(FormattableString.Invariant($"log{i}"), LedgerRuns.Part("PR-1", 0.01 + (0.001 * i)))), LedgerRuns.CarText, LedgerRuns.Now);
        }

        return folder["parts.db"];
    }

    [Fact]
    public void All_parts_are_shown_with_life_and_place()
    {
        using TemporaryFolder folder = new();
        string ledger = WithRuns(folder, 2);
        Assert.Equal(0, Life(ledger, "fit", "PR-1", "--car", "car 7", "--corner", "FL", "--date", "2026-02-01").Code);
        foreach (CommandRun run in new[] { CommandRun.Of("life", "--ledger", ledger), Life(ledger, "show") })
        {
            Assert.Equal(0, run.Code);
            Assert.Contains("2 runs", run.Out, StringComparison.Ordinal);
            Assert.Contains("2.10e-2", run.Out, StringComparison.Ordinal);
            Assert.Contains("inspect, on car 7 FL", run.Out, StringComparison.Ordinal);
            Assert.Equal("", run.Error);
        }
    }

    [Fact]
    public void A_parts_history_shows_what_each_figure_was_made_from()
    {
        using TemporaryFolder folder = new();
        string ledger = WithRuns(folder, 2);
        Life(ledger, "inspect", "PR-1", "--result", "no crack", "--date", "2026-03-02", "--by", "a fitter");
        CommandRun run = Life(ledger, "history", "PR-1");
        foreach (string said in new[] { "run 'run log0'", "log log1", LedgerRuns.CarHash, "program 0.1.0", "inspected: no crack (a fitter)", "2026-03-01 11:00", "4.2 % of its life" })
        {
            Assert.Contains(said, run.Out, StringComparison.Ordinal);
        }

        CommandRun other = Life(ledger, "history", "PR-2");
        Assert.Equal(3, other.Code);
        Assert.Contains("PR-1", other.Error, StringComparison.Ordinal);
    }

    [Fact]
    public void Entries_are_made_struck_out_and_stay_readable()
    {
        using TemporaryFolder folder = new();
        string ledger = WithRuns(folder, 1);
        Assert.Contains("Entry 2", Life(ledger, "remove", "PR-1", "--reason", "bent", "--date", "2026-03-05").Out, StringComparison.Ordinal);
        Assert.Equal(0, Life(ledger, "retire", "PR-1", "--date", "2026-03-06").Code);
        Assert.Equal(0, Life(ledger, "limit", "PR-1", "--change", "14 kN to 13 kN", "--date", "2026-03-07").Code);
        Assert.Equal(0, Life(ledger, "correct", "PR-1", "--damage", "0.04", "--reason", "no logger", "--date", "2026-03-08").Code);
        Assert.Equal(0, Life(ledger, "correct", "--entry", "3", "--reason", "wrong part").Code);
        string history = Life(ledger, "history", "PR-1").Out;
        Assert.Contains("retired  -- struck out by entry 6: wrong part", history, StringComparison.Ordinal);
        Assert.Contains("damage +4.000e-2 by hand: no logger", history, StringComparison.Ordinal);
        Assert.Contains("10.0 % of its life", history, StringComparison.Ordinal);
        Assert.Equal(2, Life(ledger, "correct", "--reason", "nothing").Code);
        Assert.Equal(3, Life(ledger, "correct", "--entry", "99", "--reason", "none").Code);
        Assert.Equal(3, Life(ledger, "fit", "PR-1", "--car", "c", "--corner", "XX").Code);
        Assert.Contains("See 'pushrod life fit --help'", Life(ledger, "fit", "PR-1").Error, StringComparison.Ordinal);
    }

    [Fact]
    public void Verify_ends_with_1_where_sums_do_not_agree()
    {
        using TemporaryFolder folder = new();
        string ledger = WithRuns(folder, 3);
        CommandRun good = Life(ledger, "verify");
        Assert.Equal(0, good.Code);
        Assert.Contains("3 runs and 1 parts agree", good.Out, StringComparison.Ordinal);
        using (SqlitePlace place = new())
        {
            place.Outside(ledger, "DROP TRIGGER life_part_sum_no_update; UPDATE life_part_sum SET damage = 0.01");
        }

        CommandRun bad = Life(ledger, "verify");
        Assert.Equal(1, bad.Code);
        Assert.Contains("'PR-1': the entries add up to", bad.Out, StringComparison.Ordinal);
    }

    [Fact]
    public void A_forecast_needs_enough_laps_and_answers_a_plan_with_its_exit_code()
    {
        using TemporaryFolder folder = new();
        string few = WithRuns(folder, 2);
        CommandRun withheld = Life(few, "forecast", "PR-1", "--wanted-laps", "10");
        Assert.Equal(1, withheld.Code);
        Assert.Contains("no forecast", withheld.Out, StringComparison.Ordinal);
        using TemporaryFolder other = new();
        string many = WithRuns(other, 12);
        Assert.Equal(0, Life(many, "forecast", "PR-1", "--wanted-laps", "1").Code);
        CommandRun tooMany = Life(many, "forecast", "PR-1", "--wanted-laps", "100000");
        Assert.Equal(1, tooMany.Code);
        Assert.Contains("laps left", tooMany.Out, StringComparison.Ordinal);
    }

    [Fact]
    public void A_part_past_a_limit_is_told_by_every_sheet_until_somebody_has_looked()
    {
        using TemporaryFolder folder = new();
        string ledger = WithRuns(folder, 12);
        LedgerDatabase database = LedgerDatabase.Open(LedgerAddress.Read(ledger), LedgerRuns.Now);
        database.Record(LedgerRuns.At(125, LedgerRuns.Run("hard", LedgerRuns.Part("PR-1", 0.01) with { ExceededLimit = true, PeakCompressionN = 14_800 })), LedgerRuns.CarText, LedgerRuns.Now);
        const string past = "PR-1 went past a limit in run 'run hard' (14.80 kN push, 0.00 kN pull), and no inspection is entered since: retire it unless its designer clears it.";
        // Runs without fault came after it.
        Assert.Contains(past, Life(ledger, "show").Out, StringComparison.Ordinal);
        Assert.Contains("past a limit", Life(ledger, "show").Out.Split('\n').First(line => line.StartsWith("PR-1", StringComparison.Ordinal)), StringComparison.Ordinal);
        Assert.Contains(past, Life(ledger, "history", "PR-1").Out, StringComparison.Ordinal);
        CommandRun forecast = Life(ledger, "forecast", "PR-1", "--wanted-laps", "1");
        Assert.Equal(1, forecast.Code);
        Assert.Contains(past, forecast.Out, StringComparison.Ordinal);
        Assert.Equal("It" + past["PR-1".Length..], PastLimitBeforeTheNext());

        Assert.Equal(0, Life(ledger, "inspect", "PR-1", "--result", "no crack by dye", "--date", "2026-03-01").Code);
        Assert.Contains(past, Life(ledger, "show").Out, StringComparison.Ordinal);
        Assert.Equal(0, Life(ledger, "inspect", "PR-1", "--result", "no crack by dye", "--date", "2026-03-02").Code);
        Assert.DoesNotContain("went past", Life(ledger, "show").Out, StringComparison.Ordinal);
        Assert.Equal(0, Life(ledger, "forecast", "PR-1", "--wanted-laps", "1").Code);
        Assert.Null(PastLimitBeforeTheNext());

        string? PastLimitBeforeTheNext()
        {
            LedgerContent content = database.Read();
            return LedgerState.HistoryBefore(content.Entries, content.Strengths, "a new log", null).Of("PR-1").PastLimit;
        }
    }

    [Fact]
    public void A_ledger_goes_out_and_in_and_the_old_form_comes_over()
    {
        using TemporaryFolder folder = new();
        string ledger = WithRuns(folder, 2);
        Assert.Equal(0, Life(ledger, "export", folder["csv"]).Code);
        Assert.Equal(0, Life(ledger, "export", folder["parquet"], "--parquet").Code);
        Assert.Equal(4, Life(ledger, "export", folder["csv"]).Code);
        Assert.Equal(0, Life(folder["second.db"], "import", folder["csv"]).Code);
        Assert.Equal(0, Life(folder["third.db"], "import", folder["parquet"]).Code);
        Assert.Equal(Life(ledger, "history", "PR-1").Out, Life(folder["third.db"], "history", "PR-1").Out);
        Assert.Equal(3, Life(ledger, "import", folder["csv"]).Code);

        string old = folder.Write("parts.jsonl", LedgerDatabaseTests<SqlitePlace>.OldLedger);
        CommandRun refused = CommandRun.Of("life", "--ledger", old);
        Assert.Equal(3, refused.Code);
        Assert.Contains("pushrod life import", refused.Error, StringComparison.Ordinal);
        CommandRun taken = Life(folder["new.db"], "import", old);
        Assert.Contains("2 of the 2 runs", taken.Out, StringComparison.Ordinal);
        Assert.Contains("3.75e-1", CommandRun.Of("life", "--ledger", folder["new.db"]).Out, StringComparison.Ordinal);
    }

    [Fact]
    public void A_hostile_serial_number_steers_neither_database_nor_screen()
    {
        using TemporaryFolder folder = new();
        const string Name = "P'; DROP TABLE life_entry; --\u001b[2J\n=x";
        CommandRun run = Life(folder["parts.db"], "inspect", Name, "--result", "good", "--date", "2026-03-02");
        Assert.Equal(0, run.Code);
        Assert.DoesNotContain('\u001b', run.Out);
        Assert.Contains("inspected: good", Life(folder["parts.db"], "history", Name).Out, StringComparison.Ordinal);
        Assert.Equal(0, Life(folder["parts.db"], "verify").Code);
    }
}
