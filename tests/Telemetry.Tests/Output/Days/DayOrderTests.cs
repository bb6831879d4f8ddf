using CsCheck;
using Telemetry.Output.Days;

namespace Telemetry.Tests.Output.Days;

public class DayOrderTests
{
    [Theory]
    [InlineData("run7", "run7")]
    [InlineData("Q2 (soft) a+b", "Q2 (soft) a+b")]
    [InlineData("../../etc/passwd", "_.._etc_passwd")]
    [InlineData("a/b\\c:d*e?f\"g<h>i|j", "a_b_c_d_e_f_g_h_i_j")]
    [InlineData(".hidden.", "hidden")]
    [InlineData("...", "run")]
    [InlineData("", "run")]
    [InlineData("index.html", "run-index.html")]
    [InlineData("ARCHIVE", "run-ARCHIVE")]
    [InlineData("nul.2026", "run-nul.2026")]
    [InlineData("Büchse\u202e\u0000", "Büchse__")]
    public void A_folder_has_the_runs_name_where_that_is_safe(string name, string folder) => Assert.Equal(folder, DayOrder.Folder(name, []));

    [Fact]
    public void Names_that_differ_only_in_case_get_folders_of_their_own()
    {
        Assert.Equal("Run-2", DayOrder.Folder("Run", ["run"]));
        Assert.Equal("run-3", DayOrder.Folder("run", ["RUN", "run-2"]));
    }

    [Fact]
    public void Whatever_the_name_the_folder_is_one_step_below_and_new() =>
        Gen.Select(Gen.String, Gen.String.Array[0, 5]).Sample((name, others) =>
        {
            List<string> taken = [];
            foreach (string other in others)
            {
                taken.Add(DayOrder.Folder(other, taken));
            }

            string folder = DayOrder.Folder(name, taken);
            string root = Path.Combine(Path.GetTempPath(), "day");
            return Path.GetDirectoryName(Path.GetFullPath(Path.Combine(root, folder))) == root
                && !taken.Contains(folder, StringComparer.OrdinalIgnoreCase) && folder.Length <= 100 && folder[0] != '.';
        });

    [Fact]
    public void Runs_stand_in_order_of_start_then_of_name()
    {
        DayRun[] runs = [SampleDays.Run(3, "c", minute: 30), SampleDays.Run(1, "b", minute: 10), SampleDays.Run(2, "a", minute: 10)];
        Assert.Equal(["a", "b", "c"], DayOrder.Of(runs).Select(run => run.Log));
        Assert.Equal(DayOrder.Of(runs), DayOrder.Of(runs.Reverse()));
    }
}
