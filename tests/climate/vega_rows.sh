#!/usr/bin/env bash
# Published data: the New York rows of tables/demo are those of the open data set vega-datasets 3.2.1, byte for byte.
# Exits with 77, which ctest counts as skipped, where npm or its registry cannot be reached.
# Usage: vega_rows.sh new_york.csv
set -euo pipefail

rows=$(realpath "$1")
command -v npm >/dev/null || { echo "skipped: no npm on this machine"; exit 77; }
folder=$(mktemp -d)
trap 'rm -rf "$folder"' EXIT
cd "$folder"
timeout 100 npm pack vega-datasets@3.2.1 >/dev/null 2>&1 || { echo "skipped: npm cannot reach its registry"; exit 77; }
tar -xzf vega-datasets-3.2.1.tgz package/data/weather.csv
{ head -n 1 package/data/weather.csv; grep '^New York,' package/data/weather.csv; } >expected.csv
grep -v '^#' "$rows" >found.csv
cmp expected.csv found.csv
echo "$(wc -l <expected.csv) lines are the same"
