using Telemetry.Cli;

return PushrodCommand.Run(args, Screen.OfProcess());
