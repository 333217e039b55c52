#!/usr/bin/env bash
# The page of the report as a browser, a printer and a screen reader see it.
# Usage: run.sh COMMAND DEMO_FOLDER BUILD_FOLDER      COMMAND is the path of coldgrease
# Exit 0 nothing found, 1 something found, 77 not looked at because a program or a package cannot be had.
set -euo pipefail

command=$1
demo=$2
build=$3
here=$(cd "$(dirname "${BASH_SOURCE[0]}")" && pwd)
packages=$build/packages

skip() {
  echo "browser: not looked at: $1"
  exit 77
}
chromium=$(command -v chromium || command -v chromium-browser || true)
[ -n "$chromium" ] || skip "chromium is not installed"
for program in node npm pdftotext pdfinfo; do
  command -v "$program" >/dev/null || skip "$program is not installed"
done

# Packages stay in the build tree until another version is asked for.
if ! cmp -s "$here/package.json" "$packages/installed.json"; then
  rm -rf "$packages"
  mkdir -p "$packages"
  cp "$here/package.json" "$packages/package.json"
  timeout 300 npm install --prefix "$packages" --no-package-lock --ignore-scripts --no-audit --no-fund \
    --loglevel error >"$build/npm.log" 2>&1 || skip "npm cannot fetch the packages: $(head -n 1 "$build/npm.log")"
  cp "$here/package.json" "$packages/installed.json"
fi

node "$here/check_page.mjs" "$command" "$demo" "$build/scratch" "$packages" "$chromium"
