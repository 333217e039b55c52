#!/usr/bin/env bash
# Requests spread over processes with GNU parallel against one process, byte for byte.
# Usage: batch_parallel.sh COMMAND
# Exit 0 the same, 1 different, 77 not checked because GNU parallel is not installed.
set -euo pipefail

command=$1
spread=$(cd "$(dirname "${BASH_SOURCE[0]}")/../../tools" && pwd)/batch_parallel.sh
if ! parallel --version 2>/dev/null | grep -q '^GNU parallel'; then
  echo "batch_parallel: not checked: GNU parallel is not installed"
  exit 77
fi
folder=$(mktemp -d)
trap 'rm -rf "$folder"' EXIT
cd "$folder"

compare() {
  local wanted=$1 exit_one=0 exit_many=0 processes
  "$command" batch <requests >one 2>errors || exit_one=$?
  for processes in 1 3; do
    exit_many=0
    "$spread" "$command" "$processes" <requests >many 2>errors || exit_many=$?
    cmp one many
    [ "$exit_one" -eq "$wanted" ] && [ "$exit_many" -eq "$wanted" ] ||
      { echo "exit $exit_one alone, $exit_many with $processes processes, expected $wanted"; exit 1; }
  done
}

# Several blocks of 64 kB; the last line without its end.
for n in $(seq 8000); do printf '{"id": %d, "args": ["class", "%d"]}\n' "$n" $((85 + n % 390)); done >requests
printf '{"id": "last", "args": ["tables"]}' >>requests
compare 0
[ "$(wc -l <one)" -eq 8001 ]

# A line that is no request, and one longer than a block.
{
  printf '\nno request\n'
  head -c 200000 /dev/zero | tr '\0' a
  echo
} >>requests
compare 1
echo "batch_parallel: $(wc -l <one) answers are the same, $(wc -c <requests) bytes of requests"
