#include "base/local_dates.hpp"

#include "base/format.hpp"

#include <array>
#include <optional>
#include <string>

#include "coldgrease/base/quantity_text.hpp"

namespace coldgrease::inline v0::detail {

namespace {

std::string_view without_time(std::string_view cell) { return cell.substr(0, cell.find_first_of("T ")); }

/// "26.01.2015": three whole numbers with one mark between them, the last of four digits.
std::optional<std::array<int, 3>> numbers_of(std::string_view text) {
  const auto first = text.find_first_of("./-");
  if (first == std::string_view::npos) return std::nullopt;
  const auto second = text.find(text[first], first + 1);
  if (second == std::string_view::npos || text.size() - second - 1 != 4) return std::nullopt;
  std::array<int, 3> numbers{};
  const std::array parts{text.substr(0, first), text.substr(first + 1, second - first - 1), text.substr(second + 1)};
  for (std::size_t i = 0; i < parts.size(); ++i) {
    if (parts[i].empty() || parts[i].size() > 4) return std::nullopt;
    for (const char c : parts[i]) {
      if (!is_digit(c)) return std::nullopt;
      numbers[i] = numbers[i] * 10 + (c - '0');
    }
  }
  return numbers;
}

std::optional<date> in_order(date_order order, std::string_view cell) {
  const auto n = numbers_of(without_time(cell));
  if (!n) return std::nullopt;
  const auto [a, b, year] = *n;
  return order == date_order::day ? valid_date(year, b, a) : valid_date(year, a, b);
}

/// "1 February 2015".
std::string in_words(const date& d) { return fmt::format("{} {} {}", d.day, name_of_month(d.month), d.year); }

/// A cell, and where it stands.
struct witness {
  std::string cell{};
  place where{};
};

}  // namespace

column_dates::column_dates(csv_rows rows, std::size_t column) {
  std::vector<std::string_view> fields;
  std::optional<witness> first, day_first, month_first;  // the first cell, and the first that leaves that order alone
  for (bool more = true; more;) {
    try {
      more = rows.next(fields);
      const std::string_view cell = more ? fields[column] : std::string_view();
      if (cell.empty()) continue;
      if (!first && !numbers_of(without_time(cell))) return;
      if (!first) first = {std::string(cell), rows.place(column)};
      const auto by_day = in_order(date_order::day, cell), by_month = in_order(date_order::month, cell);
      if (by_day && !by_month && !day_first) day_first = {std::string(cell), rows.place(column)};
      if (by_month && !by_day && !month_first) month_first = {std::string(cell), rows.place(column)};
    } catch (const file_error&) {
      // Refused in its turn.
    }
  }
  if (!first) return;
  if (day_first && month_first)
    throw file_error(month_first->where,
                     fmt::format("{} has the month first, {} in line {} the day", in_quotes(month_first->cell),
                                 in_quotes(day_first->cell), day_first->where.line),
                     "one order of dates, or 2015-01-26");
  if (!day_first && !month_first) {
    const auto by_day = in_order(date_order::day, first->cell), by_month = in_order(date_order::month, first->cell);
    if (!by_day || !by_month || *by_day == *by_month) return;  // no date, refused in its turn; or 3 March in both
    throw file_error(first->where,
                     fmt::format("{} may be {} or {}, and so may all of the column", in_quotes(first->cell),
                                 in_words(*by_day), in_words(*by_month)),
                     "dates such as 2015-01-26");
  }
  order_ = day_first ? date_order::day : date_order::month;
}

bool column_dates::read_any(std::string_view cell, date& day) const {
  // "2015-01-26T00:00:00" and "2015-01-26 00:00" name the day as well.
  const bool has_time = cell.size() > 10 && (cell[10] == 'T' || cell[10] == ' ');
  const auto found =
      order_ != date_order::year ? in_order(order_, cell) : parse_date(has_time ? cell.substr(0, 10) : cell);
  if (found) day = *found;
  return found.has_value();
}

std::string_view column_dates::note() const {
  switch (order_) {
    case date_order::year: break;
    case date_order::day: return "dates are taken as day, month, year: no other order fits all of them";
    case date_order::month: return "dates are taken as month, day, year: no other order fits all of them";
  }
  return {};
}

}  // namespace coldgrease::inline v0::detail
