#!/usr/bin/env bash
# Runs both batch scripts on this machine, one part after the other, and checks
# that their merged answer is that of one run: here.sh POLEREACH
set -euo pipefail
here="$(cd "$(dirname "$0")" && pwd)"
work="$(mktemp -d)"
trap 'rm -rf "$work"' EXIT
mkdir "$work/bin"
ln -s "$(realpath "$1")" "$work/bin/polereach"
export PATH="$work/bin:$PATH" FLAGS="--range-km 15"
# the command of the manifest, as it stands there
awk '/- \|$/ {on = 1; next} /^          resources:/ {on = 0} on' "$here/job.yaml" >"$work/job.sh"

for engine in job array; do
  export DATA="$work/$engine"
  cp -r "$here/../cumberland" "$DATA"
  for i in 1 2 3 4 5 6 7; do
    case "$engine" in
      job) SHARDS=7 JOB_COMPLETION_INDEX=$((i - 1)) sh -e "$work/job.sh" ;;
      array) SLURM_ARRAY_TASK_ID=$i SLURM_ARRAY_TASK_COUNT=7 sh "$here/array.slurm" ;;
    esac
  done
  for format in text json csv geojson; do
    polereach plan --merge "$DATA"/parts/part-*.json --format $format --out "$DATA/merged" || [ $? -eq 3 ]
    polereach plan $FLAGS "$DATA/plan.geojson" --format $format --out "$DATA/single" || [ $? -eq 3 ]
    cmp "$DATA/merged" "$DATA/single"
  done
  echo "$engine: 7 parts merged are the bytes of one run"
done
