// Days and hours, for the sources of this stage.
#pragma once

#include <algorithm>
#include <array>
#include <cstddef>
#include <cstdint>
#include <span>
#include <string>
#include <vector>

#include "coldgrease/climate/calendar.hpp"
#include "coldgrease/climate/series.hpp"

namespace coldgrease::inline v0::detail {

/// Day and hour of the day of an hourly_value's hour, also before 1970.
constexpr int hour_of_day(int hour) { return (hour % 24 + 24) % 24; }
constexpr int floor_day(int hour) { return (hour - hour_of_day(hour)) / 24; }

constexpr int hour_of_minimum = 6, hour_of_maximum = 15;

/// Weight of the value towards which each hour of a day goes, by half-cosines.
const std::array<double, 24>& end_weights();

/// A day between the maximum before it and the minimum after it.
struct day_between {
  const std::array<double, 24>& weight = end_weights();
  double high_before, low, high, low_after;

  day_between(std::span<const daily_extremes> days, std::size_t i) : low(days[i].low), high(days[i].high) {
    const bool follows = i > 0 && days[i - 1].day + 1 == days[i].day;
    const bool followed = i + 1 < days.size() && days[i + 1].day == days[i].day + 1;
    high_before = follows ? days[i - 1].high : high;
    low_after = followed ? days[i + 1].low : low;
  }
  double night(std::size_t h) const { return high_before + weight[h] * (low - high_before); }
  double morning(std::size_t h) const { return low + weight[h] * (high - low); }
  double evening(std::size_t h) const { return high + weight[h] * (low_after - high); }
};

/// Hours 0 to 23 of day i (statistics.hpp, hours_of) [C].
void expand_day(std::span<const daily_extremes> days, std::size_t i, std::span<double, 24> out);
/// The lowest and the highest of them, to the last bit: without expanding the day.
struct hour_range {
  double lowest = 0.0, highest = 0.0;  // [C]
};
inline hour_range range_of_day(std::span<const daily_extremes> days, std::size_t i) {
  const day_between day(days, i);
  // Each of the three parts runs one way, and rounding keeps the order: their ends decide.
  const double first = day.night(0), last = day.evening(23);
  return {std::min({day.low, first, last}), std::max({day.morning(hour_of_maximum), first, last})};
}

/// Month of every day, 1 to 12 [n_day].
std::vector<std::uint8_t> months_of(const daily_series& series);
/// Month of every hour, 1 to 12 [n_hour].
std::vector<std::uint8_t> months_of(const hourly_series& series);
std::vector<std::uint8_t> months_of(const typical_year& year);

/// The day_number of day 0 of a typical year, in some year of its length.
int first_day_of(const typical_year& year);
/// The date of a day of a typical year, in that year.
date date_in(const typical_year& year, int day);

/// Where a day of a month stands in the year, 0 to 364; 29 February has the place of the 28th.
constexpr std::size_t place_of(int month, int day) {
  return static_cast<std::size_t>(ordinal({month, month == 2 ? std::min(day, 28) : day}));
}

/// Walks days, which are in order, by the months of the calendar: one date a month is worked out, not one a day.
/// @param day_of  day_number of the i-th of `count`
/// @param take  is called with the first day of a month, and from and before which i its days stand
template <class DayOf, class Take>
void for_each_month(std::size_t count, DayOf day_of, Take take) {
  for (std::size_t from = 0; from < count;) {
    date first = date_of(day_of(from));
    first.day = 1;
    const int end = day_number(first) + days_in_month(first.year, first.month);
    std::size_t to = from + 1;
    while (to < count && day_of(to) < end) ++to;
    take(first, from, to);
    from = to;
  }
}

}  // namespace coldgrease::inline v0::detail
