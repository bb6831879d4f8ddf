#!/usr/bin/env bash
# Measures every row of the table of speed, each with its peer in the same run, and writes the table into the README beside this file.
# usage: table.sh [RUNS] [WORK-FOLDER]      (3 runs; a folder under the system's temporary folder that is kept, so that the logs, 1.1 GB, are made once)
# Under four minutes of measuring on two quiet cores; before that, once, minutes of native compiling and of simulating the logs.
# Debian: gcc, zlib1g-dev (native form, C peer), python3-pandas, python3-scipy, python3-matplotlib (peers); rows whose peer is not there say so.
set -euo pipefail
here=$(cd "$(dirname "$0")" && pwd)
root=$(cd "$here/../.." && pwd)
runs=${1:-3}
work=${2:-${TMPDIR:-/tmp}/pushrod-table}
mkdir -p "$work/growth"

cd "$root"
dotnet build -c Release -v q --nologo "$here" >/dev/null
program="$root/.artifacts/bin/Telemetry.Benchmarks/release/Telemetry.Benchmarks"
log() { # log FOLDER FORM...: makes a log unless it is there
  [ -s "$work/$1/car.toml" ] && [ -s "$work/$1/log.csv" ] || "$program" make-log "$root/sample-runs/baseline" "$work/$1" "${@:2}"
}
for minutes in 3.75 7.5 30; do log "minutes-$minutes" "$minutes" 20; done
for channels in 5 10 40; do log "channels-$channels" 15 "$channels"; done
log hour 60 20 mixed

"$here/whole-job.sh" "$runs" "$work"
"$here/rainflow-speed.sh" | tee "$work/rainflow.txt"

pushrod="$work/native/pushrod"
one() { # one NAME COMMAND...: a line of wall s, processor s, peak MB into NAME
  "$here/measure.sh" "$work/$1" "${@:2}" > /dev/null
}
rm -f "$work"/growth/* "$work"/times-hour*
grow() { # grow NAME FOLDER: one run of the whole job
  rm -rf "$work/grown"
  one "growth/$1" "$pushrod" analyse "$work/$2/log.csv" --car "$work/$2/car.toml" --out "$work/grown" --quiet
}
rows() { echo $(($(wc -l < "$work/$1/log.csv") - 2)); }
for _ in $(seq "$runs"); do
  for folder in minutes-3.75 minutes-7.5 . minutes-30; do grow "rows-$(rows $folder)" "$folder"; done
  for channels in 5 10 40; do grow "channels-$channels" "channels-$channels"; done
  grow channels-20 .
  rm -rf "$work/grown" "$work"/hour-results* "$work/hour.parquet"
  one times-hour "$pushrod" analyse "$work/hour/log.csv" --car "$work/hour/car.toml" --out "$work/hour-results" --quiet
  one times-hour-no-plots "$pushrod" analyse "$work/hour/log.csv" --car "$work/hour/car.toml" --out "$work/hour-results-without-plots" --no-plots --quiet
  one times-hour-import "$pushrod" import "$work/hour/log.csv" --out "$work/hour.parquet"
done

# A busy machine is kept out of the figures where the system allows it; the other scripts do so themselves.
if chrt -f 50 true 2>/dev/null; then front="chrt -f 50"; else front=""; fi
$front "$program" table "$work" "$here"
