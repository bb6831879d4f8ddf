using System.Globalization;
using BenchmarkDotNet.Running;
using Telemetry.Benchmarks;
using Telemetry.Benchmarks.Table;

// make-log SAMPLE-RUN DIR writes the log of whole-job.sh, make-log SAMPLE-RUN DIR MINUTES CHANNELS another length or width, mixed after it one with slow channels
// and four decimals; what is named nowhere here goes to BenchmarkDotNet.
if (args is ["make-log", string sampleRun, string folder, .. string[] form])
{
    LongLog.Write(sampleRun, folder, form is [string minutes, string channels, .. string[] kind]
        ? new(double.Parse(minutes, CultureInfo.InvariantCulture), int.Parse(channels, CultureInfo.InvariantCulture), kind is ["mixed"], kind is ["mixed"])
        : new());
    return;
}

// The command of table.sh.
if (args is ["table", string work, string sources])
{
    SpeedTable.Write(work, sources);
    return;
}

// The two commands of rainflow-speed.sh.
if (args is ["rainflow-signal", string file])
{
    RainflowSpeed.WriteSignal(file);
    return;
}

if (args is ["rainflow-speed"])
{
    RainflowSpeed.Run();
    return;
}

BenchmarkSwitcher.FromAssembly(typeof(Program).Assembly).Run(args);
