#!/usr/bin/env bash
# Lets one libFuzzer target look for inputs that it neither takes nor refuses; prints what it finds in hex and fails.
# Usage: hunt.sh PROGRAM SECONDS [FOLDER]
#        FOLDER  keeps the new corpus; a temporary one without it
set -uo pipefail

program=$1
seconds=$2
here=$(cd "$(dirname "${BASH_SOURCE[0]}")" && pwd)
name=${program##*/fuzz_}
scratch=$(mktemp -d)
trap 'rm -rf "$scratch"' EXIT
corpus=${3:-$scratch/corpus}
mkdir -p "$corpus" "$scratch/found"
options=(-max_total_time="$seconds" -timeout=10 -rss_limit_mb=2048 -print_final_stats=1
         -artifact_prefix="$scratch/found/")
if [ -e "$here/$name.dict" ]; then options+=(-dict="$here/$name.dict"); fi

cd "$scratch" || exit 1  # what a target might write stays there
if "$program" "${options[@]}" "$corpus" "$here/corpus/$name" >"$scratch/log" 2>&1; then
  echo "$name: $(grep -oE 'number_of_executed_units: [0-9]+' "$scratch/log" | grep -oE '[0-9]+$') executions"
  exit 0
fi
grep -vE '^(#[0-9]+|INFO:)' "$scratch/log" | head -n 60 | cut -c1-300
for input in "$scratch"/found/*; do
  [ -e "$input" ] || continue
  echo "$name: $(basename "$input") in hex:"
  od -An -v -tx1 "$input"
done
exit 1
