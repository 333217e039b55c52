#!/usr/bin/env bash
# A rule that finds nothing could be a rule that looks nowhere: each must name the place of a breach planted here.
# Usage: rules_find_breaches.sh SCRATCH_FOLDER
set -euo pipefail

rules=$(cd "$(dirname "${BASH_SOURCE[0]}")" && pwd)/rules.sh
scratch=$1
failures=0

# Arguments: rule, file, its text, what the rule must say ("" for nothing).
expect() {
  local rule=$1 file=$2 text=$3 wanted=$4 said exit=0
  rm -rf "$scratch"
  mkdir -p "$scratch"/{include/coldgrease/{base,grease,line,climate,plan,report},src/base,tests,tables,tools}
  mkdir -p "$scratch/$(dirname "$file")"
  printf '// first line\n%s\n' "$text" >"$scratch/$file"
  said=$(bash "$rules" "$rule" "$scratch" 2>&1) || exit=$?
  if [ -z "$wanted" ]; then
    [ "$exit" -eq 0 ] && [ -z "$said" ] && return
  else
    [ "$exit" -eq 1 ] && [[ $said == *"$wanted"* ]] && return
  fi
  printf '%s, %s with %s: exit %s, said "%s", wanted "%s"\n' "$rule" "$file" "$text" "$exit" "$said" "$wanted"
  failures=$((failures + 1))
}

expect include_graph include/coldgrease/climate/a.hpp '#include "coldgrease/grease/grease.hpp"' 'include/coldgrease/climate/a.hpp:2'
expect include_graph src/base/a.cpp '#include "line/line_kernel.hpp"' 'src/base/a.cpp:2'
expect include_graph src/line/a.cpp '#include "coldgrease/coldgrease.hpp"' 'src/line/a.cpp:2'
expect include_graph src/line/a.cpp '#include "../climate/a.hpp"' 'src/line/a.cpp:2'
expect include_graph src/line/a.cpp '#include <coldgrease/line/line.hpp>' 'src/line/a.cpp:2'
expect include_graph src/other/a.cpp '' 'src/other/'
expect include_graph src/line/a.cpp '#include "coldgrease/grease/grease.hpp"' ''
expect include_graph tools/a.cpp '#include "coldgrease/coldgrease.hpp"' ''
expect include_graph tools/a.cpp '#include "a.cpp"' ''
expect include_graph tools/a.cpp '#include "b.hpp"' 'tools/a.cpp:2'
for header in nlohmann/json.hpp Eigen/Dense fmt/format.h iostream chrono filesystem functional random regex sstream; do
  expect public_headers include/coldgrease/base/a.hpp "#include <$header>" 'include/coldgrease/base/a.hpp:2'
done
expect public_headers include/coldgrease/base/a.hpp '#include <string>' ''
expect headers_listed include/coldgrease/base/a.hpp '' 'include/coldgrease/base/a.hpp: is not'
for call in 'std::stod(s)' 'strtod(s, &e)' 'atof(s)' 'setlocale(LC_ALL, "")' 'std::printf("a")' 'snprintf(b, 2, "a")' \
            'std::cout << 1' 'std::cerr << 1' 'std::stringstream s;' 'fmt::print("a")'; do
  expect no_locale_no_printing src/base/a.cpp "$call" 'src/base/a.cpp:2'
done
expect no_locale_no_printing src/base/a.cpp '// not strtod: it follows the locale' ''
expect no_unsafe_flags tests/CMakeLists.txt 'add_compile_options(-ffast-math)' 'tests/CMakeLists.txt:2'
expect no_unsafe_flags tools/a.cmake 'add_compile_options(-march=native)' 'tools/a.cmake:2'
expect no_bare_approx tests/a.cpp 'CHECK(a == doctest::Approx(1));' 'tests/a.cpp:2'
expect raw_doors src/base/a.cpp 'double x = p.value();' 'src/base/a.cpp:2'
expect raw_doors tools/a.cpp 'auto p = pressure::from_value(1);' 'tools/a.cpp:2'
expect raw_doors include/coldgrease/base/units.hpp 'return q.value();' ''
expect bare_casts src/plan/a.cpp 'int d = static_cast<int>(std::ceil(in_days(t)));' 'src/plan/a.cpp:2'
expect bare_casts src/base/whole.hpp 'return static_cast<int>(std::ceil(v));' ''
expect top_level notes.txt '' 'notes.txt'
expect top_level README.md '' ''

rm -rf "$scratch"
[ "$failures" -eq 0 ]
