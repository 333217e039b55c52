#!/usr/bin/env bash
# Builds the project with g++, warnings as errors, into build/test and runs its tests.
set -euo pipefail

root=$(cd "$(dirname "${BASH_SOURCE[0]}")/.." && pwd)
build=$root/build/test

"$root/tools/setup.sh" test
"$root/tools/setup.sh" browser
cmake -S "$root" -B "$build" -G Ninja -C "$root/tools/cmake/strict.cmake" -D CMAKE_CXX_COMPILER=g++
cmake --build "$build" --parallel "$(nproc)"
ctest --test-dir "$build" -j2 --output-on-failure
