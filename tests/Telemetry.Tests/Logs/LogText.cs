using System.Text;
using Telemetry.Logs;

namespace Telemetry.Tests.Logs;

/// <summary>Reads a log from text in a test, and looks into what came of it.</summary>
internal static class LogText
{
    public static RunLog Read(string text, LogOptions? options = null) => Read(Encoding.UTF8.GetBytes(text), options);

    public static RunLog Read(byte[] bytes, LogOptions? options = null, int partBytes = 1 << 20)
    {
        using MemorySource source = new(bytes);
        return LogReader.Read(source, "run.csv", options ?? LogOptions.Default, partBytes);
    }

    public static InputError Refused(string text, LogOptions? options = null) => Assert.Throws<InputError>(() => Read(text, options));

    public static double[] Samples(this RunLog log, string name) => [.. log.Find(name)!.Samples];

    public static LogFinding Finding(this RunLog log, LogFindingKind kind) => Assert.Single(log.Findings, finding => finding.Kind == kind);

    /// <summary>Equality to the bit, names, units, times and findings included.</summary>
    public static void AssertSame(RunLog expected, RunLog actual)
    {
        Assert.Equal(expected.Channels.Length, actual.Channels.Length);
        for (int i = 0; i < expected.Channels.Length; i++)
        {
            LoggedChannel a = expected.Channels[i];
            LoggedChannel b = actual.Channels[i];
            Assert.Equal(a.Name, b.Name);
            Assert.Equal(a.Unit, b.Unit);
            Assert.Equal(a.Samples.Select(BitConverter.DoubleToInt64Bits), b.Samples.Select(BitConverter.DoubleToInt64Bits));
            Assert.Equal(a.Time.IsEven, b.Time.IsEven);
            Assert.Equal(a.Time.Count, b.Time.Count);
            Assert.Equal(BitConverter.DoubleToInt64Bits(a.Time.StartS), BitConverter.DoubleToInt64Bits(b.Time.StartS));
            Assert.Equal(BitConverter.DoubleToInt64Bits(a.Time.StepS), BitConverter.DoubleToInt64Bits(b.Time.StepS));
            if (!a.Time.IsEven)
            {
                Assert.Equal(a.Time.TimesS.AsSpan().ToArray(), b.Time.TimesS.AsSpan().ToArray());
            }
        }

        Assert.Equal(expected.Findings.AsEnumerable(), actual.Findings.AsEnumerable());
        Assert.Equal(expected.StartedAtUtc, actual.StartedAtUtc);
    }
}
