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
        AggregateException error = Assert.Throws<AggregateException>(() => ResultFolder.Write(folder["run7"], [File_("../escaped", "x")]));
        Assert.IsType<ArgumentException>(error.InnerException);
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
}
