// The dates of a column, which a spreadsheet may have written in its country's order.
#pragma once

#include <optional>
#include <string>
#include <string_view>

#include "base/csv.hpp"
#include "coldgrease/base/date.hpp"

namespace coldgrease::inline v0::detail {

/// What comes first in a date.
enum class date_order { year, day, month };

/// Reads the dates of a column: as parse_date(), or, where its first cell is "26.01.2015", "1/26/2015" or the like, in
/// the one order that all its cells leave. A time of day behind a blank or a T is not looked at.
class column_dates {
 public:
  /// Looks through the column where its first cell has no year first. @param rows  before their first row
  /// @throws file_error where both orders are possible, or none of them is
  column_dates(csv_rows rows, std::size_t column);

  std::optional<date> operator()(std::string_view cell) const;
  /// What is said of an order that a reader might have guessed otherwise; empty where the year stands first.
  std::string_view note() const;

 private:
  date_order order_ = date_order::year;
};

}  // namespace coldgrease::inline v0::detail
