#!/usr/bin/env bash
# What including the library costs a program, beside the SI header of Boost.Units alone.
# Usage: compile_cost.sh COMPILER            prints user seconds (median of 5, -O2) and preprocessed lines of both
#        compile_cost.sh COMPILER PERCENT    fails if the lines are more than PERCENT % of those of Boost.Units
set -euo pipefail

compiler=$1
limit=${2:-}
include=$(cd "$(dirname "${BASH_SOURCE[0]}")/../../include" && pwd)
ours=coldgrease/coldgrease.hpp
theirs=boost/units/systems/si.hpp

compile() { "$compiler" -std=c++20 -O2 -I "$include" -x c++ "${@:2}" - <<<"#include <$1>"; }
lines() { compile "$1" -E -P | wc -l; }
user_seconds() {
  local TIMEFORMAT=%U
  for _ in 1 2 3 4 5; do { time compile "$1" -c -o /dev/null; } 2>&1; done | sort -n | sed -n 3p
}

our_lines=$(lines "$ours")
their_lines=$(lines "$theirs")
percent=$((100 * our_lines / their_lines))
echo "$ours: $our_lines lines, $percent % of $theirs ($their_lines lines)"
if [ -n "$limit" ]; then
  [ "$percent" -le "$limit" ] || { echo "more than $limit %"; exit 1; }
else
  echo "$ours: $(user_seconds "$ours") s; $theirs: $(user_seconds "$theirs") s"
fi
