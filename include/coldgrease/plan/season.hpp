// A span of days of the year: what everything said of a fill is of.
#pragma once

#include <algorithm>
#include <array>
#include <cstddef>

#include "coldgrease/climate/calendar.hpp"

namespace coldgrease::inline v0 {

/// Days on the circle of a year of 365, over its end as well: from 10 September, so many days.
struct season {
  int first = 0;           // ordinal() of its first day, 0 to 364
  int days = days_a_year;  // 1 to 365

  constexpr day_of_year from() const { return day_at(first); }
  /// Its last day.
  constexpr day_of_year to() const { return day_at(first + days - 1); }
  constexpr bool whole_year() const { return days >= days_a_year; }
  /// @param day  an ordinal
  constexpr bool contains(int day) const { return around_year(day - first) < days; }
  /// The same days and so many more after them, a year at most.
  constexpr season longer_by(int more) const { return {first, std::min(days + more, days_a_year)}; }
  /// Its first days, as many as there are of them.
  constexpr season beginning(int most) const { return {first, std::min(days, most)}; }

  /// Calls take(ordinal) for each day in order.
  template <class Take>
  constexpr void for_each_day(Take take) const {
    for (int n = 0; n < days; ++n) take(around_year(first + n));
  }
  /// Calls take(pentad) for each pentad that holds one of its days, each once, in order.
  template <class Take>
  constexpr void for_each_pentad(Take take) const {
    for (int n = 0; n < days;) {
      const int day = around_year(first + n);
      const int pentad = day / days_a_pentad;
      take(static_cast<std::size_t>(pentad));
      n += days_a_pentad - day % days_a_pentad;
      // The pentad that a whole year began in the middle of comes round again.
      if (n < days && around_year(first + n) / days_a_pentad == first / days_a_pentad) break;
    }
  }
  friend bool operator==(const season&, const season&) = default;
};

/// The season from one day until the day before another; a whole year if they are the same.
constexpr season season_between(int first, int next) {
  const int days = around_year(next - first);
  return {around_year(first), days == 0 ? days_a_year : days};
}

/// Something of each month, January first.
template <class T>
using by_month = std::array<T, 12>;

/// How many of its days lie in each month.
constexpr by_month<int> days_by_month(const season& s) {
  by_month<int> days{};
  s.for_each_day([&](int day) { ++days[static_cast<std::size_t>(day_at(day).month - 1)]; });
  return days;
}

}  // namespace coldgrease::inline v0
