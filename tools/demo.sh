#!/usr/bin/env bash
# Builds the coldgrease command into build/demo, lets it pick the greases of the demo fleet, and installs it with its
# manual into a folder of the user's own.
# Usage: [PREFIX=FOLDER] demo.sh    FOLDER is ~/.local unless it is given
set -euo pipefail

# As seen from the folder that this was called in.
prefix=$(realpath -m "${PREFIX:-${HOME:?is not set: give PREFIX}/.local}")
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

quietly cmake --install "$build" --prefix "$prefix"
command=$prefix/bin/coldgrease manual=$prefix/share/man
# By their short names where the shell and man find them.
if [ "$(command -v coldgrease || true)" = "$command" ]; then
  command=coldgrease
  manual="man coldgrease"
else
  manual="man -M $manual coldgrease"
fi
echo
echo "Installed into $prefix (PREFIX=... chooses another). The manual: $manual"
echo "Next, what the file of that fleet lacks, and what to measure first:"
echo "    $command check $root/tables/demo/fleet.json"
