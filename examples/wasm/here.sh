#!/usr/bin/env bash
# Builds the library for WebAssembly and computes one link under node: the answer is that
# of this machine.
set -euo pipefail
cd "$(dirname "$0")"
work="$(mktemp -d)"
trap 'rm -rf "$work"' EXIT
GOOS=js GOARCH=wasm go build ../../linkbudget/... ../../terrain ../../terrain/sun
GOOS=js GOARCH=wasm go build -o "$work/link.wasm" .
here="$(go run .)"
there="$(node "$(go env GOROOT)/lib/wasm/wasm_exec_node.js" "$work/link.wasm")"
[ "$here" = "$there" ] || { echo "under node: $there; here: $here"; exit 1; }
echo "$there"
