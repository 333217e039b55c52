#!/usr/bin/env bash
# Law: the pictures that README.md and the walk through the demo show, and their descriptions there, are what the command
# makes of the demo fleet.
# Usage: readme_pictures.sh COMMAND
set -euo pipefail

root=$(cd "$(dirname "${BASH_SOURCE[0]}")/../.." && pwd)
scratch=$(mktemp -d)
trap 'rm -rf "$scratch"' EXIT
documents=(README.md tables/demo/README.md)
mkdir -p "$scratch/tables/demo"
for document in "${documents[@]}"; do cp "$root/$document" "$scratch/$document"; done
"$root/tools/pictures.sh" "$1" "$scratch"

failures=0
fail() {
  echo "$1"
  failures=$((failures + 1))
}

for fresh in "$scratch"/tables/demo/*.svg; do
  name=$(basename "$fresh")
  [ "$(head -c 4 "$fresh")" = "<svg" ] || fail "$name: what is drawn is no picture"
  cmp -s "$fresh" "$root/tables/demo/$name" || fail "$name is not what coldgrease draws now: run tools/pictures.sh"
  grep -qE "^!\[[^]]{40,}\]\($name\)$" "$scratch/tables/demo/README.md" ||
    fail "tables/demo/README.md does not show $name with a description"
done
for document in "${documents[@]}"; do
  cmp -s "$root/$document" "$scratch/$document" ||
    fail "$document does not describe its pictures as they are now: run tools/pictures.sh"
done
for stored in "$root"/tables/demo/*.svg; do
  [ -e "$scratch/tables/demo/$(basename "$stored")" ] || fail "$stored: tools/pictures.sh draws no such picture"
done
[ "$failures" -eq 0 ]
