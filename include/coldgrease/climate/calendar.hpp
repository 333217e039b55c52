// Days of the year, without its number: the circle of 365 days that seasons are spans of.
#pragma once

#include <cstddef>

namespace coldgrease::inline v0 {

inline constexpr int days_a_year = 365;

struct day_of_year {
  int month = 1;
  int day = 1;
  friend bool operator==(const day_of_year&, const day_of_year&) = default;
};

/// Days since 1 January in a year without leap day, 0 to 364 (29 February counts as 1 March).
constexpr int ordinal(const day_of_year& d) {
  constexpr int before[]{0, 31, 59, 90, 120, 151, 181, 212, 243, 273, 304, 334};
  return before[d.month - 1] + d.day - 1;
}

/// A number of days on the circle, 0 to 364.
constexpr int around_year(int days) { return (days % days_a_year + days_a_year) % days_a_year; }

/// The day that lies so many days after 1 January: the inverse of ordinal().
constexpr day_of_year day_at(int days) {
  days = around_year(days);
  int month = 12;
  while (ordinal({month, 1}) > days) --month;
  return {month, days - ordinal({month, 1}) + 1};
}

inline constexpr int days_a_pentad = 5;
inline constexpr std::size_t pentads_a_year = 73;

/// Which pentad a day belongs to, 0 to 72; 29 February belongs to the pentad of 28 February.
constexpr std::size_t pentad_of(const day_of_year& d) {
  return static_cast<std::size_t>(ordinal(d.month == 2 && d.day == 29 ? day_of_year{2, 28} : d) / days_a_pentad);
}

/// The ordinal of the middle day of a pentad.
constexpr int middle_of_pentad(std::size_t pentad) {
  return days_a_pentad * static_cast<int>(pentad) + days_a_pentad / 2;
}

}  // namespace coldgrease::inline v0
