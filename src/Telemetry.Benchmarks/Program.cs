using BenchmarkDotNet.Running;
using Telemetry.Benchmarks;

// make-log SAMPLE-RUN DIR writes the log of whole-job.sh; what is named nowhere here goes to BenchmarkDotNet.
if (args is ["make-log", string sampleRun, string folder])
{
    LongLog.Write(sampleRun, folder);
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
