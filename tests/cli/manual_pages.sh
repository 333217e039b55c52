#!/usr/bin/env bash
# Law: every manual page is roff without a warning, and no line of it is wider than a terminal of 80 columns.
# Usage: manual_pages.sh FOLDER
# Exit 0 all well, 1 not, 77 not checked because groff is not installed.
set -euo pipefail

folder=$1
command -v groff >/dev/null || { echo "manual_pages: not checked: groff is not installed"; exit 77; }

scratch=$(mktemp -d)
trap 'rm -rf "$scratch"' EXIT

# Prints what is wrong with a page, nothing if it is well.
faults_of() {
  groff -man -ww -Tutf8 -P-c -P-b -P-o -P-u "$1" >"$scratch/shown" 2>"$scratch/warnings" || echo "groff fails"
  cat "$scratch/warnings"
  [ -s "$scratch/shown" ] || echo "nothing is shown"
  [ "$(LC_ALL=C.UTF-8 wc -L <"$scratch/shown")" -le 80 ] || echo "a line is wider than 80 columns"
  local section sections=(NAME SYNOPSIS DESCRIPTION OPTIONS EXAMPLES 'EXIT STATUS' CAUTIONS 'SEE ALSO')
  [[ $1 == *.5 ]] && sections=(NAME DESCRIPTION RECORDS GREASES ROUTES WEATHER READINGS TABLES SCHEDULES FILES CAUTIONS 'SEE ALSO')
  [[ $1 == *.7 ]] && sections=(NAME 'WHICH STATION' 'WHICH YEARS' 'WHERE FROM' 'WHICH FORMATS ARE READ' CAUTIONS 'SEE ALSO')
  for section in "${sections[@]}"; do
    grep -qx "$section" "$scratch/shown" || echo "no section $section"
  done
}

failures=0
pages=0
for page in "$folder"/man1/*.1 "$folder"/man5/*.5 "$folder"/man7/*.7; do
  pages=$((pages + 1))
  faults=$(faults_of "$page")
  [ -z "$faults" ] && continue
  printf '%s:\n%s\n' "$(basename "$page")" "$faults"
  failures=$((failures + 1))
done
[ "$pages" -ge 16 ] || { echo "only $pages pages in $folder"; failures=$((failures + 1)); }

# The check itself must see what it looks for.
plant() {
  cp "$folder/man1/coldgrease.1" "$scratch/planted.1"
  printf '%b\n' "$1" >>"$scratch/planted.1"
  [[ $(faults_of "$scratch/planted.1") == *"$2"* ]] || { echo "not seen: $2"; failures=$((failures + 1)); }
}
plant '.NOSUCHMACRO' 'NOSUCHMACRO'
plant '.nf\n12345678901234567890123456789012345678901234567890123456789012345678901234567890' 'wider than 80'

[ "$failures" -eq 0 ]
echo "manual_pages: $pages pages"
