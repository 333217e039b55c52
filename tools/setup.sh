#!/usr/bin/env bash
# Installs the Debian packages that building, running and testing need; quiet when nothing is missing.
# Usage: setup.sh [test | browser]
#        test     also what only the test suite needs
#        browser  what the test of the page in a browser needs, and that alone; where it cannot be had, that test is
#                 skipped and this does not fail
set -euo pipefail

sudo=()
[ "$(id -u)" -eq 0 ] || sudo=(sudo)
install() {
  echo "setup: installing $*"
  "${sudo[@]}" apt-get update -qq &&
    "${sudo[@]}" env DEBIAN_FRONTEND=noninteractive apt-get install -y -qq --no-install-recommends "$@" >/dev/null
}

if [ "${1:-}" = browser ]; then
  # Node and npm often come another way than from Debian: the programs are looked for, not their packages.
  missing=()
  for needed in chromium:chromium node:nodejs npm:npm pdftotext:poppler-utils; do
    command -v "${needed%%:*}" >/dev/null || missing+=("${needed#*:}")
  done
  [ -e /usr/share/fonts/truetype/dejavu/DejaVuSans.ttf ] || missing+=(fonts-dejavu-core)
  [ ${#missing[@]} -eq 0 ] || install "${missing[@]}" 2>&1 ||
    echo "setup: cannot be had, the page is not tested in a browser: ${missing[*]}"
  exit 0
fi

packages=(g++ cmake ninja-build pkg-config libboost-dev libfmt-dev nlohmann-json3-dev libeigen3-dev libcli11-dev
          libfast-float-dev libxlsxwriter-dev zlib1g-dev)
if [ "${1:-}" = test ]; then
  packages+=(doctest-dev ccache clang libclang-rt-14-dev clang-format groff-base locales git libical-dev parallel zsh
             python3 python3-jsonschema python3-openpyxl)
fi

missing=()
for package in "${packages[@]}"; do
  status=$(dpkg-query -W -f '${db:Status-Status}' "$package" 2>/dev/null || true)
  [ "$status" = installed ] || missing+=("$package")
done
[ ${#missing[@]} -eq 0 ] && exit 0

[ "$(id -u)" -eq 0 ] || command -v sudo >/dev/null ||
  { echo "setup: needs root or sudo to install: ${missing[*]}" >&2; exit 1; }
install "${missing[@]}"
