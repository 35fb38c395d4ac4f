#!/usr/bin/env bash
# Runs the workflow's last step on this machine, on a pull request that changes
# nothing and on one that lowers a pole into the wood: here.sh POLEREACH
set -euo pipefail
here="$(cd "$(dirname "$0")" && pwd)"
work="$(mktemp -d)"
trap 'rm -rf "$work"' EXIT
mkdir "$work/bin"
ln -s "$(realpath "$1")" "$work/bin/polereach"
export PATH="$work/bin:$PATH" PLAN=plan.geojson GATEWAYS="--gateway Westledge" GITHUB_STEP_SUMMARY="$work/summary"
awk '/^        run: \|$/ {on = 1; next} on' "$here/plan-guard.yml" >"$work/step.sh"

expect() { # CODE WORDS
  cd "$work/pull"
  code=0
  bash -e "$work/step.sh" || code=$?
  if [ "$code" -ne "$1" ] || ! grep -q "$2" "$work/summary"; then
    echo "exit $code, want $1; no \"$2\" in:"; cat "$work/summary"; exit 1
  fi
  echo "exit $code: $2"
}
cp -r "$here/../cumberland" "$work/pull"
cp -r "$here/../cumberland" "$work/pull/before"
expect 0 "REACHES as before"
sed -i 's/"name": "Ferry Flat", "status": "standing", "height_m": 5/"name": "Ferry Flat", "height_m": 2, "inside": "wood"/' "$work/pull/plan.geojson"
expect 3 "was reaches"
