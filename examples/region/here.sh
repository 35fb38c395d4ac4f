#!/usr/bin/env bash
# Runs both batch scripts on this machine, one part after the other, for a regional plan and
# for coverage from all its poles, and checks that their merged answer is that of one run:
# here.sh POLEREACH
set -euo pipefail
here="$(cd "$(dirname "$0")" && pwd)"
work="$(mktemp -d)"
trap 'rm -rf "$work"' EXIT
mkdir "$work/bin"
ln -s "$(realpath "$1")" "$work/bin/polereach"
export PATH="$work/bin:$PATH" DATA="$work/data"
cp -r "$here/../cumberland" "$DATA"
# the command of the manifest, as it stands there
awk '/- \|$/ {on = 1; next} /^          resources:/ {on = 0} on' "$here/job.yaml" >"$work/job.sh"

parts() { # ENGINE
  rm -rf "$DATA/parts"
  for i in 1 2 3 4 5 6 7; do
    case "$1" in
      job) SHARDS=7 JOB_COMPLETION_INDEX=$((i - 1)) sh -e "$work/job.sh" ;;
      array) SLURM_ARRAY_TASK_ID=$i SLURM_ARRAY_TASK_COUNT=7 sh "$here/array.slurm" ;;
    esac
  done
}
same() { # FLAGS-OF-THE-ANSWER...
  polereach "${COMMAND%% *}" --merge "$DATA"/parts/part-* "$@" --out "$DATA/merged" || [ $? -eq 3 ]
  [ ! -e "$DATA/map.tif" ] || mv "$DATA/map.tif" "$DATA/merged.tif"
  polereach $COMMAND "$DATA/plan.geojson" "$@" --out "$DATA/single" || [ $? -eq 3 ]
  cmp "$DATA/merged" "$DATA/single"
  [ ! -e "$DATA/map.tif" ] || cmp "$DATA/merged.tif" "$DATA/map.tif"
}
for engine in job array; do
  export COMMAND="plan --range-km 15"
  parts "$engine"
  for format in text json csv geojson; do same --format $format; done
  export COMMAND="coverage --all-poles --radius-km 10 --cell-m 200"
  parts "$engine"
  same
  same --quantity who --tif "$DATA/map.tif" --format json
  rm "$DATA"/*.tif
  echo "$engine: 7 parts merged are the bytes of one run, plan and coverage"
done
