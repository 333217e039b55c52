#!/usr/bin/env bash
# Rules of the source tree that a compiler does not know. Prints file:line of every breach.
# Usage: rules.sh RULE [ROOT]
set -euo pipefail
shopt -s inherit_errexit

rule=$1
cd "${2:-$(dirname "${BASH_SOURCE[0]}")/../..}"

# What a stage may include besides itself.
declare -A sees=(
  [base]=""
  [grease]="base"
  [line]="base grease"
  [climate]="base"
  [plan]="base grease line climate"
  [report]="base grease line climate plan"
  [tools]="base grease line climate plan report coldgrease.hpp"
)

# Lines that match a pattern, as file:line:text. Arguments: pattern, files or folders.
matches() {
  local pattern=$1 status=0
  shift
  grep -rnE "$pattern" "$@" || status=$?
  [ "$status" -le 1 ]  # 1 is no match, above it an error
}
# The same, without lines that are comment alone.
matches_in_code() { matches "$@" | { grep -vE '^[^:]+:[0-9]+:\s*//' || true; }; }

include_graph() {
  local folder stage
  for folder in include/coldgrease/*/ src/*/ tools/; do
    stage=$(basename "$folder")
    if [ -z "${sees[$stage]+known}" ]; then
      echo "$folder: no stage of this name"
      continue
    fi
    matches '^\s*#\s*include\s*"' "$folder" --include='*.[ch]pp' | while IFS=: read -r file number text; do
      local allowed=" $stage ${sees[$stage]} " target=${text#*\"}
      target=${target%%\"*}
      local name=${target#coldgrease/}
      name=${name%%/*}
      [ "$target" = coldgrease/coldgrease.hpp ] && name=coldgrease.hpp
      [[ $allowed == *" $name "* ]] && continue
      [[ $target != */* && -e $folder$target ]] && continue  # lies beside it
      echo "$file:$number: $stage includes \"$target\"; it may include:$allowed"
    done
  done
  matches '^\s*#\s*include\s*<coldgrease' include src tools --include='*.[ch]pp' | sed 's/$/   (write it with quotes)/'
}

# They make every program that includes one of ours slow to compile.
public_headers() {
  matches '^\s*#\s*include\s*[<"](nlohmann/|Eigen/|fmt/|fast_float/|(iostream|chrono|filesystem|functional|random|regex|sstream)>)' include
}

# What is not in the list of the build is not installed.
headers_listed() {
  local header
  find include -name '*.hpp' | sort | while read -r header; do
    grep -qF "$header" CMakeLists.txt || echo "$header: is not in the list of CMakeLists.txt"
  done
}

# The library does not print, and what it reads does not depend on the locale.
no_locale_no_printing() {
  matches_in_code '\b(sto[dfi]|stol|stold|strto[df]|strtold|ato[fil]|setlocale|[a-z]*printf|puts|i?stringstream)\b|std::(cout|cerr|clog)\b|fmt::print\b' \
    include src
}

no_unsafe_flags() {
  matches 'ffast-math|march=native|funsafe-math|Ofast' . --include=CMakeLists.txt --include='*.cmake' --include='*.cmake.in' \
    --exclude-dir='build*' --exclude-dir=.git
}

# Its default tolerance passes any two small numbers; tests/near.hpp spells both tolerances.
no_bare_approx() { matches_in_code '\bApprox\b' tests --include='*.[ch]pp'; }

# Numbers enter and leave a quantity by the name of their unit.
raw_doors() {
  matches_in_code '\.value\(\)|\bfrom_value\b' include src tools --include='*.[ch]pp' |
    { grep -v '^include/coldgrease/base/units.hpp:' || true; }
}

# A cast from a double to an integer is undefined for what the integer cannot hold: src/base/whole.hpp keeps bounds.
bare_casts() {
  matches_in_code 'static_cast<(int|long|std::size_t|std::int64_t|unsigned)>\((std::)?(ceil|floor|round|lround|in_[a-z0-9_]+\()' \
    include src tools --include='*.[ch]pp' | { grep -v '^src/base/whole.hpp:' || true; }
}

top_level() {
  local entry
  for entry in *; do
    case $entry in
      CMakeLists.txt | README.md | DEVELOPERS.md | LICENSE | include | src | tables | tests | tools | build*) ;;
      *) echo "$entry:1: does not belong into the top folder" ;;
    esac
  done
}

case $rule in
  include_graph | public_headers | headers_listed | no_locale_no_printing | no_unsafe_flags | no_bare_approx | raw_doors | bare_casts | top_level) ;;
  *) echo "no rule called $rule" >&2; exit 2 ;;
esac
breaches=$("$rule")
if [ -n "$breaches" ]; then
  printf '%s: broken in\n%s\n' "$rule" "$breaches"
  exit 1
fi
