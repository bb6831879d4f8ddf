#!/usr/bin/env bash
# The whole job, ours against the script that a user would write instead, in turn on one log on one machine.
# usage: whole-job.sh [RUNS] [WORK-FOLDER]      (5 runs; a folder under the system's temporary folder that is kept, so that the log is made once)
# Prints medians of wall clock, processor time and peak memory, the ratio, and the result figures of both.
set -euo pipefail
here=$(cd "$(dirname "$0")" && pwd)
root=$(cd "$here/../.." && pwd)
runs=${1:-5}
work=${2:-${TMPDIR:-/tmp}/pushrod-whole-job}
mkdir -p "$work"

# The native form (Debian: gcc, zlib1g-dev), and the one that needs the runtime; made anew when a source is younger.
publish() { # publish FOLDER OPTIONS...
  if [ ! -x "$work/$1/pushrod" ] || [ -n "$(find "$root/src" -name Telemetry.Benchmarks -prune -o -type f -newer "$work/$1/pushrod" -print -quit)" ]; then
    dotnet publish "$root/src/Telemetry.Cli" -c Release -r linux-x64 "${@:2}" -o "$work/$1" -v q --nologo
    touch "$work/$1/pushrod"
  fi
}
publish native -p:PublishAot=true
publish published
if [ ! -s "$work/log.csv" ]; then
  dotnet run --project "$here" -c Release -v q -- make-log "$root/sample-runs/baseline" "$work"
fi

python=/usr/bin/python3
with_script=yes
if ! "$python" -c 'import pandas, scipy, matplotlib' 2>/dev/null; then
  with_script=no
  echo "The script is left out: $python has no pandas, SciPy and matplotlib (Debian: python3-pandas python3-scipy python3-matplotlib)."
fi

rm -f "$work"/times-{help,ours,no-plots,import,runtime,script} "$work/script-stages.txt"
one() { # one NAME COMMAND...: a line of wall s, processor s, peak MB into times-NAME
  local name=$1; shift
  "$here/measure.sh" "$work/times-$name" "$@"
}

# One start is shorter than the step of the clock that measures it, a hundredth of a second.
for _ in $(seq 7); do one help bash -c 'for _ in {1..20}; do "$0" --help; done' "$work/native/pushrod" > /dev/null; done
for _ in $(seq "$runs"); do
  rm -rf "$work"/ours* "$work/script" "$work/imported.parquet"
  one ours "$work/native/pushrod" analyse "$work/log.csv" --car "$work/car.toml" --out "$work/ours" --quiet > "$work/ours.txt"
  one no-plots "$work/native/pushrod" analyse "$work/log.csv" --car "$work/car.toml" --out "$work/ours-without-plots" --no-plots --quiet > /dev/null
  one import "$work/native/pushrod" import "$work/log.csv" --out "$work/imported.parquet" > /dev/null
  one runtime "$work/published/pushrod" analyse "$work/log.csv" --car "$work/car.toml" --out "$work/ours-with-runtime" --quiet > /dev/null
  if [ $with_script = yes ]; then one script "$python" "$here/script-instead.py" "$work/log.csv" "$work/script" > "$work/script.txt"; cat "$work/script.txt" >> "$work/script-stages.txt"; fi
done

median() { sort -n | awk '{v[NR]=$1} END {print (NR%2 ? v[(NR+1)/2] : (v[NR/2]+v[NR/2+1])/2)}'; }
row() { printf '%-22s %8.2f s wall %8.2f s processor %8.0f MB peak  (%s runs)\n' "$1" "$(cut -d' ' -f1 "$2" | median)" "$(cut -d' ' -f2 "$2" | median)" "$(cut -d' ' -f3 "$2" | median)" "$(wc -l < "$2")"; }
echo
echo "$(date +%F), $(nproc) processors ($(sed -n 's/^model name[^:]*: //p' /proc/cpuinfo | head -1)), .NET $(dotnet --version), log $(du -m --apparent-size "$work/log.csv" | cut -f1) MiB, $(wc -l < "$work/log.csv") lines"
row "whole job, native" "$work/times-ours"
row "  without plots" "$work/times-no-plots"
row "  on the .NET runtime" "$work/times-runtime"
row "import to Parquet" "$work/times-import"
row "--help, 20 times" "$work/times-help"
if [ $with_script = yes ]; then
  row "script instead" "$work/times-script"
  "$python" -c 'import sys, numpy, pandas, scipy, matplotlib; print("script: Python", sys.version.split()[0], "NumPy", numpy.__version__, "pandas", pandas.__version__, "SciPy", scipy.__version__, "matplotlib", matplotlib.__version__)'
  awk -v a="$(cut -d' ' -f1 "$work/times-script" | median)" -v b="$(cut -d' ' -f1 "$work/times-ours" | median)" 'BEGIN {printf "ratio of the wall clocks: %.1f\n", a / b}'
  echo; echo "== what the script found"; cat "$work/script.txt"
fi
echo; echo "== what the program found"; cat "$work/ours.txt"
