namespace Telemetry.Tests.Output;

/// <summary>Compares text with a file beside the tests. Set UPDATE_SNAPSHOTS=1 to write the files anew, then read what changed before committing it.</summary>
internal static class Snapshot
{
    public static void Match(string folder, string name, string text)
    {
        string path = Path.Combine(Repository.Root, "tests", "Telemetry.Tests", folder, "Snapshots", name + ".txt");
        string actual = text.ReplaceLineEndings("\n");
        if (Environment.GetEnvironmentVariable("UPDATE_SNAPSHOTS") == "1")
        {
            File.WriteAllText(path, actual);
        }

        Assert.True(File.Exists(path), $"{path} is missing; set UPDATE_SNAPSHOTS=1 to write it.");
        Assert.Equal(File.ReadAllText(path).ReplaceLineEndings("\n"), actual);
    }
}
