using System.Reflection;

namespace Telemetry.Tests;

/// <summary>Where the checkout stands, so that tests find sample runs and published data.</summary>
internal static class Repository
{
    public static string Root { get; } = typeof(Repository).Assembly
        .GetCustomAttributes<AssemblyMetadataAttribute>()
        .First(a => a.Key == "RepositoryRoot").Value!;

    /// <summary>A file below tests/Telemetry.Tests/Data.</summary>
    public static string Data(params string[] parts) =>
        Path.Combine([Root, "tests", "Telemetry.Tests", "Data", .. parts]);
}
