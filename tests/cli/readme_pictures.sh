#!/usr/bin/env bash
# Law: the pictures that the README shows, and their descriptions in it, are what the command makes of the demo fleet.
# Usage: readme_pictures.sh COMMAND
set -euo pipefail

root=$(cd "$(dirname "${BASH_SOURCE[0]}")/../.." && pwd)
scratch=$(mktemp -d)
trap 'rm -rf "$scratch"' EXIT
cp "$root/README.md" "$scratch"
"$root/tools/pictures.sh" "$1" "$scratch"

failures=0
fail() {
  echo "$1"
  failures=$((failures + 1))
}

for fresh in "$scratch"/tools/pictures/*; do
  name=tools/pictures/$(basename "$fresh")
  [ "$(head -c 4 "$fresh")" = "<svg" ] || fail "$name: what is drawn is no picture"
  cmp -s "$fresh" "$root/$name" || fail "$name is not what coldgrease draws now: run tools/pictures.sh"
  grep -qE "^!\[[^]]{40,}\]\($name\)$" "$scratch/README.md" || fail "README.md does not show $name with a description"
done
cmp -s "$root/README.md" "$scratch/README.md" ||
  fail "README.md does not describe its pictures as they are now: run tools/pictures.sh"
for stored in "$root"/tools/pictures/*; do
  [ -e "$scratch/tools/pictures/$(basename "$stored")" ] || fail "$stored: tools/pictures.sh draws no such picture"
done
[ "$failures" -eq 0 ]
