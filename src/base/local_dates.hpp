// The dates of a column, which a spreadsheet may have written in its country's order.
#pragma once

#include <cstddef>
#include <string_view>

#include "base/csv.hpp"
#include "base/decimal.hpp"
#include "coldgrease/base/date.hpp"

namespace coldgrease::inline v0::detail {

/// A date at the start of a text that is written plainly, such as nearly every one of a weather file: "2015-01-26".
/// What stands behind it is the caller's to look at. @return its length; 0 for any other text, a date or not
inline std::size_t plain_date_at_start(std::string_view text, date& day) {
  constexpr std::size_t length = 10;
  if (text.size() < length || text[4] != '-' || text[7] != '-') return 0;
  bool all_digits = true;
  const auto number = [&](std::size_t from, std::size_t to) {
    int value = 0;
    for (std::size_t i = from; i < to; ++i) {
      all_digits = all_digits & is_digit(text[i]);
      value = 10 * value + (text[i] - '0');
    }
    return value;
  };
  day = {number(0, 4), number(5, 7), number(8, 10)};
  constexpr int in_every_month = 28;
  const bool is_date = all_digits && day.year >= 1 && day.month >= 1 && day.month <= 12 && day.day >= 1 &&
                       (day.day <= in_every_month || day.day <= days_in_month(day.year, day.month));
  return is_date ? length : 0;
}

/// A text that is such a date and nothing else. @return false for any other: parse_date tells. Test:
/// tests/climate/plain_reading.cpp
inline bool plain_date(std::string_view text, date& day) {
  return !text.empty() && plain_date_at_start(text, day) == text.size();
}

/// What comes first in a date.
enum class date_order { year, day, month };

/// Reads the dates of a column: as parse_date(), or, where its first cell is "26.01.2015", "1/26/2015" or the like, in
/// the one order that all its cells leave. A time of day behind a blank or a T is not looked at.
class column_dates {
 public:
  /// Looks through the column where its first cell has no year first. @param rows  before their first row
  /// @throws file_error where both orders are possible, or none of them is
  column_dates(csv_rows rows, std::size_t column);

  /// @return false for what is no date
  bool read(std::string_view cell, date& day) const {
    return (order_ == date_order::year && plain_date(cell, day)) || read_any(cell, day);
  }
  bool year_first() const { return order_ == date_order::year; }
  /// What is said of an order that a reader might have guessed otherwise; empty where the year stands first.
  std::string_view note() const;

 private:
  bool read_any(std::string_view cell, date& day) const;

  date_order order_ = date_order::year;
};

}  // namespace coldgrease::inline v0::detail
