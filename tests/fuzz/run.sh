#!/usr/bin/env bash
# Fuzzes every target longer than CI does, two at a time, and runs every mutation of the fleet that uses every key.
# What is found is printed in hex; the new corpora stay in a temporary folder, which is named.
# Usage: run.sh MINUTES [BUILD]
#        MINUTES  a target
#        BUILD    a build with COLDGREASE_FUZZ, such as the build/sanitize that .ci/run makes and that stands for it
set -uo pipefail

root=$(cd "$(dirname "${BASH_SOURCE[0]}")/../.." && pwd)
export seconds=$(($1 * 60)) hunt=$root/tests/fuzz/hunt.sh
build=${2:-$root/build/sanitize}
failed=0
kept=$(mktemp -d)
export kept

# shellcheck disable=SC2016  # expanded by the shell that xargs starts
find "$build/tests/fuzz" -maxdepth 1 -name 'fuzz_*' -type f -executable -print0 | sort -z |
  xargs -0 -P 2 -I '{}' bash -c '"$hunt" "$1" "$seconds" "$kept/${1##*/}"' - '{}' || failed=1
"$build/tests/test_mutations" --no-skip || failed=1
echo "new corpora: $kept"
exit "$failed"
