// Rows of a table of weather as nearly all are written.
#pragma once

#include <cstddef>
#include <initializer_list>
#include <span>
#include <string_view>
#include <vector>

#include "climate/reader.hpp"

namespace coldgrease::inline v0::detail {

/// Takes rows that are written plainly - a time, plain numbers of which none is missing, no blanks around them and no
/// quotes - where nothing else of a row is looked at: in one pass, without its cells. Any other row is left to
/// csv_rows::next, and so are all of a table whose first column is another. Test: tests/climate/plain_reading.cpp
class plain_rows {
 public:
  /// @param time, numbers  their columns
  plain_rows(const csv_rows& rows, std::size_t time, std::initializer_list<std::size_t> numbers)
      : columns_(rows.header().size()), delimiter_(rows.delimiter()) {
    columns_[time].holds = cell::time;
    std::size_t count = 0;
    for (const std::size_t own : numbers) columns_[own] = {cell::number, count++};
  }

  /// @param read_time  of the text from its cell on: gives the length of the cell, or 0 if it is none that is plain
  /// @param numbers    receive those of their columns
  /// @return false, and takes nothing, unless the next row is plain
  template <class ReadTime>
  bool next(csv_rows& rows, ReadTime read_time, std::span<double> numbers) const {
    // A row of totals is told by its first cell.
    if (columns_.front().holds == cell::any) return false;
    std::string_view text = rows.rest();
    for (std::size_t i = 0; i < columns_.size(); ++i) {
      if (i > 0) {
        if (!text.starts_with(delimiter_)) return false;
        text.remove_prefix(1);
      }
      std::size_t length = 0;
      switch (columns_[i].holds) {
        case cell::time:
          length = read_time(text);
          if (length == 0) return false;
          break;
        case cell::number: {
          double& value = numbers[columns_[i].number];
          length = plain_decimal_at_start(text, value);
          if (length == 0 || value == missing_code) return false;
          break;
        }
        case cell::any:
          for (; length < text.size() && text[length] != delimiter_ && text[length] != '\n'; ++length) {
            if (text[length] == '"') return false;
          }
      }
      text.remove_prefix(length);
    }
    if (text.starts_with('\r')) text.remove_prefix(1);
    if (text.starts_with('\n')) {
      text.remove_prefix(1);
    } else if (!text.empty()) {
      return false;
    }
    rows.took_row(rows.rest().size() - text.size());
    return true;
  }

 private:
  enum class cell { any, time, number };
  struct column {
    cell holds = cell::any;
    std::size_t number = 0;
  };

  std::vector<column> columns_;
  char delimiter_;
};

}  // namespace coldgrease::inline v0::detail
