using BenchmarkDotNet.Running;
using Telemetry.Benchmarks;

// make-log SAMPLE-RUN DIR writes the log of whole-job.sh; everything else goes to BenchmarkDotNet.
if (args is ["make-log", string sampleRun, string folder])
{
    LongLog.Write(sampleRun, folder);
    return;
}

BenchmarkSwitcher.FromAssembly(typeof(Program).Assembly).Run(args);
