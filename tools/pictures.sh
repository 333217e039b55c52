#!/usr/bin/env bash
# Draws the pictures of the README and of the walk through the demo, and writes their descriptions into both for who
# cannot see them.
# Usage: pictures.sh [COMMAND [ROOT]]
#   COMMAND  build/demo/tools/coldgrease, which tools/demo.sh builds
#   ROOT     where README.md and tables/demo stand: the project's
set -euo pipefail

root=$(cd "$(dirname "${BASH_SOURCE[0]}")/.." && pwd)
command=${1:-$root/build/demo/tools/coldgrease}
target=${2:-$root}

[ -x "$command" ] || { echo "pictures: there is no $command: run tools/demo.sh first, or name the command" >&2; exit 1; }

# Arguments: name of the picture, what to draw.
draw() {
  local picture=$1.svg says
  shift
  "$command" chart "$root/tables/demo/fleet.json" "$@" -o "$target/tables/demo/$picture"
  says=$(sed -n 's|.*<desc[^>]*>\([^<]*\)</desc>.*|\1|p' "$target/tables/demo/$picture" | sed 's/[&|\\]/\\&/g')
  sed -i "s|!\[[^]]*\](\(tables/demo/\)\?$picture)|![$says](\1$picture)|" "$target/README.md" "$target/tables/demo/README.md"
}

draw season --route "Northern plain"
draw limits --installation "trailer, 100 bar" --grease "Synthetic 00"
