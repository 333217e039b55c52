// What a table of records looks like as rows of cells.
#pragma once

#include <string>
#include <string_view>
#include <vector>

namespace coldgrease::inline v0::detail {

/// What the cells of a column become: a text; a text of a number with the unit of the head behind it; a number; true or
/// false; a list of the texts between ampersands.
enum class cell_kind { text, quantity, number, yes_or_no, list };

/// A key of a record that a column may give.
struct cell_column {
  std::string_view key{};
  cell_kind kind = cell_kind::text;
  std::string unit{};  // a usual one, for what is expected
  bool needed = false;
};

/// Records as rows of cells. Where a record has a list of parts, a row is a part: rows of one record have one "name"
/// and follow each other, and its own cells may stand in the first of them alone.
struct table_shape {
  std::vector<cell_column> columns{};
  std::string_view parts{};  // key of the list; empty: a row is a record
  std::vector<cell_column> part_columns{};
};

}  // namespace coldgrease::inline v0::detail
