using System.Text.RegularExpressions;
using Telemetry.Logs;
using Telemetry.Output;
using Telemetry.Tests.Cli;
using Telemetry.Tests.Logs;
using Telemetry.Tests.Output;

namespace Telemetry.Tests.Hostile;

/// <summary>Names that stand inside a file cannot lead out of the result, and nothing in the program talks to a network but the ledger's database driver.</summary>
public partial class HostileNameTests
{
    [GeneratedRegex(@"\b(HttpClient|HttpWebRequest|WebRequest|WebClient|TcpClient|UdpClient|TcpListener|new Socket|Dns\.|SmtpClient|ClientWebSocket)\b")]
    private static partial Regex Network { get; }

    [Theory]
    [InlineData("../escaped")]
    [InlineData("..")]
    [InlineData("/tmp/escaped-by-name")]
    [InlineData("..\\escaped")]
    [InlineData("a/b")]
    [InlineData(".")]
    public void A_run_name_inside_a_log_stays_within_the_logs_folder(string name)
    {
        using TemporaryFolder folder = new();
        string log = folder["logs", "logged.parquet"];
        Directory.CreateDirectory(folder["logs"]);
        using (FileStream stream = File.Create(log))
        {
            ParquetLogWriter.Write(LogText.Read("time [s],x [N]\n0,1\n1,2\n") with { Name = name }, stream);
        }

        Assert.Equal(name, LogReader.Read(log, LogOptions.Default).Name);
        CommandRun import = CommandRun.Of("import", log);
        Assert.True(import.Code == 0, import.Error);
        CommandRun analyse = CommandRun.With(CommandRun.Known(SampleReviews.Full) with { ReadLog = (path, _) => LogReader.Read(path, LogOptions.Default) }, "analyse", log, "--car", CommandRun.CarPath, "--quiet");
        Assert.True(analyse.Code == 0, analyse.Error);
        Assert.Equal(["logs"], Directory.GetFileSystemEntries(folder.Root).Select(Path.GetFileName));
        Assert.Equal(3, Directory.GetFileSystemEntries(folder["logs"]).Length);
        Assert.False(File.Exists("/tmp/escaped-by-name.parquet") || Directory.Exists("/tmp/escaped-by-name"));
    }

    [Fact]
    public void Names_of_channels_and_parts_name_no_file()
    {
        using TemporaryFolder folder = new();
        using TemporaryFolder plain = new();
        ReviewResults.Write(SampleReviews.Make(new() { NamePrefix = "../../x/", RunName = "../y", CarName = "/z", Laps = 1 }), folder["run"], new ResultOptions { WithPlots = false });
        ReviewResults.Write(SampleReviews.Make(new() { NamePrefix = "x", RunName = "y", CarName = "z", Laps = 1 }), plain["run"], new ResultOptions { WithPlots = false });
        Assert.Equal(CommandProcess.Files(plain.Root).Keys, CommandProcess.Files(folder.Root).Keys);
    }

    [Fact]
    public void No_source_of_the_program_opens_a_connection()
    {
        foreach (string file in Directory.EnumerateFiles(Path.Combine(Repository.Root, "src"), "*.cs", SearchOption.AllDirectories).Where(file => !file.Contains("Telemetry.Benchmarks", StringComparison.Ordinal)))
        {
            Match match = Network.Match(File.ReadAllText(file));
            Assert.False(match.Success, $"{Path.GetRelativePath(Repository.Root, file)} uses {match.Value}. Only the PostgreSQL driver may reach another machine, when the user names one.");
        }
    }
}
