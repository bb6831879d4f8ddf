namespace Telemetry.Cli;

/// <summary>Options that cannot go together or have no meaning; shown as one sentence, exit code 2.</summary>
internal sealed class UsageError(string message) : Exception(message);
