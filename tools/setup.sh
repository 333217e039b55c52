#!/usr/bin/env bash
# Installs the Debian packages that building, running and testing need; quiet when nothing is missing.
# Usage: setup.sh [test]      with `test`, also what only the test suite needs
set -euo pipefail

packages=(g++ cmake ninja-build pkg-config libboost-dev libfmt-dev nlohmann-json3-dev libeigen3-dev libcli11-dev zlib1g-dev)
if [ "${1:-}" = test ]; then
  packages+=(doctest-dev clang clang-format groff-base locales git parallel)
fi

missing=()
for package in "${packages[@]}"; do
  status=$(dpkg-query -W -f '${db:Status-Status}' "$package" 2>/dev/null || true)
  [ "$status" = installed ] || missing+=("$package")
done
[ ${#missing[@]} -eq 0 ] && exit 0

sudo=()
if [ "$(id -u)" -ne 0 ]; then
  command -v sudo >/dev/null || { echo "setup: needs root or sudo to install: ${missing[*]}" >&2; exit 1; }
  sudo=(sudo)
fi
echo "setup: installing ${missing[*]}"
"${sudo[@]}" apt-get update -qq
"${sudo[@]}" env DEBIAN_FRONTEND=noninteractive apt-get install -y -qq --no-install-recommends "${missing[@]}" >/dev/null
