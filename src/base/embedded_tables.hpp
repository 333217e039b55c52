// The tables as they were when the library was built; the definition is made from tables/ by
// tools/cmake/embed_tables.cmake.
#pragma once

#include <span>
#include <string_view>

namespace coldgrease::inline v0::detail {

struct embedded_table {
  std::string_view name;  // file name: "greases.json"
  std::string_view text;
};

/// In the order of CMakeLists.txt. Initialised at compile time: safe to use from any initialiser.
extern const std::span<const embedded_table> embedded_tables;

}  // namespace coldgrease::inline v0::detail
