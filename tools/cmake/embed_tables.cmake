# Writes the tables into a C++ source as string literals.
# Usage: cmake -D OUTPUT=file.cpp -D "TABLES=a.json;b.json" -P embed_tables.cmake
cmake_minimum_required(VERSION 3.25)

# Some compilers take no literal above 16 kB; adjacent literals are one string again.
set(longest_literal 16000)

# Cut at ends of lines only, so that no literal holds half of a UTF-8 character.
function(raw_literals text where result)
  set(literals "")
  while(NOT text STREQUAL "")
    string(LENGTH "${text}" length)
    if(length GREATER longest_literal)
      string(SUBSTRING "${text}" 0 ${longest_literal} piece)
      string(FIND "${piece}" "\n" length REVERSE)
      if(length EQUAL -1)
        message(FATAL_ERROR "${where}: a line of more than ${longest_literal} bytes cannot be embedded")
      endif()
      math(EXPR length "${length} + 1")
    endif()
    string(SUBSTRING "${text}" 0 ${length} piece)
    string(SUBSTRING "${text}" ${length} -1 text)
    string(APPEND literals "\nR\"table(${piece})table\"")
  endwhile()
  set(${result} "${literals}" PARENT_SCOPE)
endfunction()

set(entries "")
foreach(table IN LISTS TABLES)
  cmake_path(GET table FILENAME name)
  file(READ "${table}" text)
  if(text STREQUAL "" OR text MATCHES "\\)table\"")
    message(FATAL_ERROR "${table}: empty, or holds the delimiter of the raw literals")
  endif()
  raw_literals("${text}" "${table}" literals)
  string(APPEND entries "    {\"${name}\",${literals}},\n")
endforeach()

file(WRITE "${OUTPUT}" "\
// Made from tables/ by tools/cmake/embed_tables.cmake.
#include \"base/embedded_tables.hpp\"

namespace coldgrease::inline v0::detail {

namespace {
constexpr embedded_table tables[] = {
${entries}};
}  // namespace

constinit const std::span<const embedded_table> embedded_tables{tables};

}  // namespace coldgrease::inline v0::detail
")
