// Rows of a daily table as nearly all are written.
#pragma once

#include <cstddef>
#include <string_view>
#include <vector>

#include "climate/reader.hpp"

namespace coldgrease::inline v0::detail {

/// A row of a daily table: a day and its extremes in the unit of the file.
struct day_as_written {
  date day{};
  double low = 0.0, high = 0.0;
};

/// Takes rows that are written plainly - a plain date, plain numbers of which none is missing, no blanks around them
/// and no quotes - where nothing else of a row is looked at: in one pass, without its cells. Any other row is left to
/// csv_rows::next. Test: tests/climate/plain_reading.cpp
class plain_days {
 public:
  /// Columns of the date and the extremes, by their number.
  plain_days(const csv_rows& rows, std::size_t date, std::size_t low, std::size_t high)
      : columns_(rows.header().size(), column::any), delimiter_(rows.delimiter()) {
    columns_[date] = column::date;
    columns_[low] = column::low;
    columns_[high] = column::high;
  }

  /// @return false, and reads nothing, unless the next row is plain
  bool next(csv_rows& rows, day_as_written& row) const {
    // A row of totals is told by its first cell.
    if (columns_.front() == column::any) return false;
    std::string_view text = rows.rest();
    for (std::size_t i = 0; i < columns_.size(); ++i) {
      if (i > 0) {
        if (!text.starts_with(delimiter_)) return false;
        text.remove_prefix(1);
      }
      const std::size_t length = read(columns_[i], text, row);
      if (length == none) return false;
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
  enum class column { date, low, high, any };
  static constexpr std::size_t none = static_cast<std::size_t>(-1);

  /// @return the length of a cell at the start of a text, or none
  std::size_t read(column kind, std::string_view text, day_as_written& row) const {
    constexpr std::size_t date_length = 10;
    const auto number = [&](double& value) {
      const std::size_t length = plain_decimal_at_start(text, value);
      return length == 0 || value == missing_code ? none : length;
    };
    switch (kind) {
      case column::date: return plain_date(text.substr(0, date_length), row.day) ? date_length : none;
      case column::low: return number(row.low);
      case column::high: return number(row.high);
      case column::any: break;
    }
    std::size_t length = 0;
    while (length < text.size() && text[length] != delimiter_ && text[length] != '\n') {
      if (text[length++] == '"') return none;
    }
    return length;
  }

  std::vector<column> columns_;
  char delimiter_;
};

}  // namespace coldgrease::inline v0::detail
