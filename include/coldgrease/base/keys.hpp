// What the keys of a file mean, for people: manual pages, heads of tables.
#pragma once

#include <string>
#include <string_view>
#include <vector>

namespace coldgrease::inline v0 {

/// One key of a record.
struct key_words {
  std::string_view key{};
  std::string kind{};           // "length", "list of segments"
  std::string unit{};           // those that it may be written in; empty for what has none
  bool needed = false;          // refused where it is missing
  bool in_a_cell = false;       // a column of a table may give it
  std::string head_unit{};      // a usual one, in brackets behind the name of such a column; empty for no brackets
  std::string_view fallback{};  // what holds where it is left out; empty: nothing is assumed
  std::string_view meaning{};
};

/// Keys of which some must stand together, or not.
struct group_words {
  std::vector<std::string_view> keys{};
  std::string_view rule{};  // "exactly one of", ...
};

/// A record of a file: an object of JSON, or a row of a table.
struct record_words {
  std::string_view name{};
  std::string_view about{};
  std::vector<key_words> keys{};
  std::vector<group_words> groups{};
};

}  // namespace coldgrease::inline v0
