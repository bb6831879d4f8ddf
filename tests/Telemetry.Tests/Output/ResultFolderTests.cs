using Telemetry.Output;

namespace Telemetry.Tests.Output;

public class ResultFolderTests
{
    private static Action<ResultDraft> File_(string path, string text) => draft => draft.Write(path, System.Text.Encoding.UTF8.GetBytes(text));

    private static string[] Hidden(TemporaryFolder folder) => [.. Directory.EnumerateFileSystemEntries(folder.Root).Select(Path.GetFileName).Where(name => name!.StartsWith('.'))!];

    [Fact]
    public void A_new_folder_appears_with_all_its_files()
    {
        using TemporaryFolder folder = new();
        ResultFolder.Write(folder["run7"], [File_("summary.json", "{}"), File_("tables/laps.csv", "a")]);
        Assert.Equal("{}", File.ReadAllText(folder["run7", "summary.json"]));
        Assert.Equal("a", File.ReadAllText(folder["run7", "tables", "laps.csv"]));
        Assert.Empty(Hidden(folder));
    }

    [Fact]
    public void A_job_that_fails_leaves_nothing_behind()
    {
        using TemporaryFolder folder = new();
        OutputError error = Assert.Throws<OutputError>(() => ResultFolder.Write(
            folder["run7"],
            [File_("summary.json", "{}"), _ => throw new IOException("No space left on device")]));
        Assert.Contains("No space left on device", error.Message, StringComparison.Ordinal);
        Assert.Empty(Directory.EnumerateFileSystemEntries(folder.Root));
    }

    [Fact]
    public void A_job_that_fails_leaves_the_earlier_result_as_it_was()
    {
        using TemporaryFolder folder = new();
        ResultFolder.Write(folder["run7"], [File_("summary.json", "old")]);
        Assert.Throws<OutputError>(() => ResultFolder.Write(folder["run7"], [File_("summary.json", "new"), _ => throw new IOException("full")]));
        Assert.Equal("old", File.ReadAllText(folder["run7", "summary.json"]));
        Assert.Empty(Hidden(folder));
    }

    [Fact]
    public void An_earlier_result_is_replaced_as_a_whole()
    {
        using TemporaryFolder folder = new();
        ResultFolder.Write(folder["run7"], [File_("summary.json", "old"), File_("plots/gone.png", "x")]);
        ResultFolder.Write(folder["run7"], [File_("summary.json", "new")]);
        Assert.Equal("new", File.ReadAllText(folder["run7", "summary.json"]));
        Assert.False(Directory.Exists(folder["run7", "plots"]));
        Assert.Empty(Hidden(folder));
    }

    [Fact]
    public void A_folder_that_is_no_result_is_left_alone()
    {
        using TemporaryFolder folder = new();
        folder.Write("run7/precious.txt", "x");
        OutputError error = Assert.Throws<OutputError>(() => ResultFolder.Write(folder["run7"], [File_("summary.json", "{}")]));
        Assert.Contains("no earlier result", error.Message, StringComparison.Ordinal);
        Assert.Equal(["precious.txt"], Directory.EnumerateFileSystemEntries(folder["run7"]).Select(Path.GetFileName));
    }

    [Theory]
    [InlineData("notes.txt")]
    [InlineData("plots/sketch.odg")]
    [InlineData("tables/mine/a.csv")]
    public void A_result_that_holds_something_else_is_left_alone(string foreign)
    {
        using TemporaryFolder folder = new();
        ResultFolder.Write(folder["run7"], [File_("summary.json", "old")]);
        folder.Write("run7/" + foreign, "mine");
        Assert.Throws<OutputError>(() => ResultFolder.Write(folder["run7"], [File_("summary.json", "new")]));
        Assert.Equal("mine", File.ReadAllText(folder["run7/" + foreign]));
    }

    [Fact]
    public void An_empty_folder_is_taken()
    {
        using TemporaryFolder folder = new();
        Directory.CreateDirectory(folder["run7"]);
        ResultFolder.Write(folder["run7"], [File_("summary.json", "{}")]);
        Assert.True(File.Exists(folder["run7", "summary.json"]));
    }

    [Fact]
    public void A_file_in_the_place_is_an_error()
    {
        using TemporaryFolder folder = new();
        folder.Write("run7", "x");
        Assert.Throws<OutputError>(() => ResultFolder.Write(folder["run7"], [File_("summary.json", "{}")]));
    }

    [Fact]
    public void A_path_out_of_the_folder_is_a_fault_of_the_program()
    {
        using TemporaryFolder folder = new();
        Assert.Throws<ArgumentException>(() => ResultFolder.Write(folder["run7"], [File_("../escaped", "x")]));
        Assert.Empty(Directory.EnumerateFileSystemEntries(folder.Root));
    }

    [Fact]
    public void Single_files_take_their_places_together_or_not_at_all()
    {
        using TemporaryFolder folder = new();
        folder.Write("a", "old");
        Assert.Throws<OutputError>(() => WholeFiles.Write(
            (folder["a"], stream => stream.Write("new"u8)),
            (folder["b"], _ => throw new IOException("full"))));
        Assert.Equal("old", File.ReadAllText(folder["a"]));
        Assert.Equal(["a"], Directory.EnumerateFileSystemEntries(folder.Root).Select(Path.GetFileName));
    }

    [Theory]
    [InlineData(2, false, true)]
    [InlineData(0.5, false, false)]
    [InlineData(2, true, false)]
    public void A_draft_of_a_process_that_is_gone_is_cleared_by_the_next_writing(double hoursOld, bool isHeld, bool isCleared)
    {
        using TemporaryFolder folder = new();
        string start = folder[".run7." + new string('a', 32)];
        Directory.CreateDirectory(start + ".partial");
        File.WriteAllText(Path.Combine(start + ".partial", "report.html"), "half");
        using FileStream held = new(start + ".lock", FileMode.CreateNew, FileAccess.ReadWrite, FileShare.None);
        if (!isHeld)
        {
            held.Dispose();
        }

        File.SetLastWriteTimeUtc(start + ".lock", DateTime.UtcNow.AddHours(-hoursOld));
        // Another place's draft whose name begins alike.
        Directory.CreateDirectory(folder[".run7.b." + new string('c', 32) + ".partial"]);
        File.WriteAllText(folder[".run7.b." + new string('c', 32) + ".lock"], "");
        File.SetLastWriteTimeUtc(folder[".run7.b." + new string('c', 32) + ".lock"], DateTime.UtcNow.AddHours(-5));

        ResultFolder.Write(folder["run7"], [draft => draft.Write(ResultFolder.Mark, "{}"u8.ToArray())]);
        Assert.Equal(!isCleared, Directory.Exists(start + ".partial"));
        Assert.Equal(!isCleared, File.Exists(start + ".lock"));
        Assert.True(Directory.Exists(folder[".run7.b." + new string('c', 32) + ".partial"]));
        Assert.Equal(isCleared ? 2 : 4, Hidden(folder).Length);
    }

    [Fact]
    public void An_earlier_result_that_a_dead_process_moved_aside_comes_back_when_the_next_writing_fails()
    {
        using TemporaryFolder folder = new();
        string start = folder[".run7." + new string('a', 32)];
        Directory.CreateDirectory(start + ".before");
        File.WriteAllText(Path.Combine(start + ".before", ResultFolder.Mark), "earlier");
        File.WriteAllText(start + ".lock", "");
        File.SetLastWriteTimeUtc(start + ".lock", DateTime.UtcNow.AddHours(-2));
        Assert.Throws<OutputError>(() => ResultFolder.Write(folder["run7"], [_ => throw new IOException("no")]));
        Assert.Equal("earlier", File.ReadAllText(Path.Combine(folder["run7"], ResultFolder.Mark)));
        Assert.Empty(Hidden(folder));
    }
}
