#!/usr/bin/env bash
# Spreads requests over processes with GNU parallel, in blocks of whole lines; the answers are those of one `coldgrease
# batch`, in the same order. On one machine --jobs does the same without blocks; this also goes to others (--sshlogin).
# Usage: batch_parallel.sh COMMAND [PROCESSES] <requests >answers      COMMAND is the path of coldgrease
# Exit 0 if every request was answered with exit 0, else 1.
set -euo pipefail

[ $# -ge 1 ] || { echo "batch_parallel: expected the path of coldgrease, and how many processes" >&2; exit 2; }
command -v parallel >/dev/null || { echo "batch_parallel: needs GNU parallel (Debian package parallel)" >&2; exit 2; }

parallel --will-cite --quote --pipe --keep-order --block 64k --jobs "${2:-100%}" "$1" batch || exit 1
