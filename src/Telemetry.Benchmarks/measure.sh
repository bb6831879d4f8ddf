#!/usr/bin/env bash
# usage: measure.sh FILE COMMAND...   Runs the command and adds a line to FILE: wall s, processor s, peak memory MB.
set -euo pipefail
file=$1
shift
# A busy machine is kept out of the figure where the system allows it.
if chrt -f 50 true 2>/dev/null; then set -- chrt -f 50 "$@"; fi
if [ -x /usr/bin/time ]; then
  /usr/bin/time -f '%e %U %S %M' -o "$file.one" "$@"
  awk '{printf "%s %.2f %.0f\n", $1, $2 + $3, $4 * 1024 / 1e6}' "$file.one" >> "$file"
  rm -f "$file.one"
else
  /usr/bin/python3 - "$file" "$@" <<'PYTHON'
import os, sys, time, resource
start = time.perf_counter()
code = os.spawnvp(os.P_WAIT, sys.argv[2], sys.argv[2:])
wall = time.perf_counter() - start
used = resource.getrusage(resource.RUSAGE_CHILDREN)
with open(sys.argv[1], "a") as out:
    out.write(f"{wall:.3f} {used.ru_utime + used.ru_stime:.2f} {used.ru_maxrss * 1024 / 1e6:.0f}\n")
sys.exit(code)
PYTHON
fi
