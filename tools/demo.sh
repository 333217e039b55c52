#!/usr/bin/env bash
# Builds the coldgrease command into build/demo and lets it pick the greases of the demo fleet.
set -euo pipefail

root=$(cd "$(dirname "${BASH_SOURCE[0]}")/.." && pwd)
build=$root/build/demo
log=$build/log.txt

# Output of a step is shown only when it fails.
quietly() { "$@" >"$log" 2>&1 || { cat "$log" >&2; exit 1; }; }

echo "Installing what is missing"
"$root/tools/setup.sh"
mkdir -p "$build"
echo "Building the coldgrease command (some minutes the first time)"
quietly cmake -S "$root" -B "$build" -G Ninja -D CMAKE_BUILD_TYPE=Release -D COLDGREASE_TESTS=OFF
quietly cmake --build "$build" --parallel "$(nproc)"
echo "Running: coldgrease pick tables/demo/fleet.json"
cd "$root"
"$build/tools/coldgrease" pick tables/demo/fleet.json
