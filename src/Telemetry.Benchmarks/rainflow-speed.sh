#!/usr/bin/env bash
# usage: rainflow-speed.sh   The cycle count, a plain C count (gcc) and the Python count of script-instead.py (python3-numpy) on the same load, one core.
set -euo pipefail
cd "$(dirname "$0")/../.."
work=.artifacts/rainflow-speed
mkdir -p "$work"
dotnet build -c Release -v q --nologo src/Telemetry.Benchmarks >/dev/null
program=.artifacts/bin/Telemetry.Benchmarks/release/Telemetry.Benchmarks
# A busy machine is kept out of the figure where the system allows it.
if chrt -f 50 true 2>/dev/null; then front="chrt -f 50"; else front=""; fi
"$program" rainflow-signal "$work/load.f64"
$front "$program" rainflow-speed
if command -v gcc >/dev/null; then
  gcc -O2 -o "$work/peer" src/Telemetry.Benchmarks/rainflow-peer.c -lm
  $front "$work/peer" "$work/load.f64"
fi
$front /usr/bin/python3 - "$work/load.f64" <<'PYTHON'
import sys, time
import numpy as np
text = open("src/Telemetry.Benchmarks/script-instead.py").read()
exec(text[text.index("def rainflow"):text.index("def main")])
x = np.fromfile(sys.argv[1])
times = []
for _ in range(3):
    start = time.perf_counter(); cycles = rainflow(x); times.append(time.perf_counter() - start)
print("%-50s median %6.2f best %6.2f million samples/s, %d entries" % ("Python with numpy", len(x) / sorted(times)[1] / 1e6, len(x) / min(times) / 1e6, len(cycles)))
PYTHON
