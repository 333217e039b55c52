#!/usr/bin/env bash
# The New York weather of the demo against the open data set it was taken from, byte for byte.
# Usage: vega_rows.sh NEW_YORK.CSV
# Exit 0 the same, 1 different, 77 not checked because npm or its registry cannot be reached.
set -euo pipefail
export LC_ALL=C

package=vega-datasets@3.2.1
stored=$(realpath "$1")
[ -r "$stored" ] || { echo "vega_rows: $stored cannot be read" >&2; exit 1; }

skip() {
  echo "vega_rows: not checked: $1"
  exit 77
}
command -v npm >/dev/null || skip "npm is not installed"

folder=$(mktemp -d)
trap 'rm -rf "$folder"' EXIT
cd "$folder"
timeout 120 npm pack "$package" --loglevel error --cache "$folder/cache" >packed.txt 2>npm.log ||
  skip "npm cannot fetch $package: $(head -n 1 npm.log)"
archive=$(tail -n 1 packed.txt)
tar -xzf "$archive" package/data/weather.csv

weather=package/data/weather.csv
{ head -n 1 "$weather"; grep '^New York,' "$weather"; } >published.csv
grep -v '^#' "$stored" >ours.csv
cmp published.csv ours.csv
echo "vega_rows: $(grep -c '^New York,' ours.csv) rows are those of $package"
