using System.Globalization;
using Telemetry.LedgerWriter;
using Telemetry.Ledgers;

// ledger-writer ADDRESS FIRST COUNT STEP: enters runs FIRST, FIRST + STEP, ...; says "ready" once the ledger is open, and each run's number once it is committed.
// Meant to be killed at any instant; several may work on one ledger.
LedgerDatabase ledger = LedgerDatabase.Open(LedgerAddress.Read(args[0]), WriterRuns.Now);
int first = int.Parse(args[1], CultureInfo.InvariantCulture);
int count = int.Parse(args[2], CultureInfo.InvariantCulture);
int step = int.Parse(args[3], CultureInfo.InvariantCulture);
using Stream output = Console.OpenStandardOutput();
Say("ready");
for (int i = 0; i < count; i++)
{
    int number = first + (i * step);
    ledger.Record(WriterRuns.Of(number), WriterRuns.CarText, WriterRuns.Now);
    Say(number.ToString(CultureInfo.InvariantCulture));
}

// One write a line, so that a line that was begun is a line that arrives.
void Say(string line) => output.Write(System.Text.Encoding.ASCII.GetBytes(line + "\n"));
