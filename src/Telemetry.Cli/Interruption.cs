using System.Runtime.InteropServices;

namespace Telemetry.Cli;

/// <summary>Ctrl+C while work goes on: the first one ends it before its next step, with a sentence and nothing half-written; a second one ends at once.</summary>
internal sealed class Interruption : IDisposable
{
    private readonly PosixSignalRegistration registration;
    private volatile bool isAsked;

    public Interruption(Action onAsked)
    {
        registration = PosixSignalRegistration.Create(PosixSignal.SIGINT, context =>
        {
            // Not cancelled the second time: the system then ends the process.
            context.Cancel = !isAsked;
            isAsked = true;
            onAsked();
        });
    }

    /// <summary>True once somebody asked to stop.</summary>
    public bool IsAsked => isAsked;

    /// <inheritdoc/>
    public void Dispose() => registration.Dispose();
}
