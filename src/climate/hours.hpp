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

/// The lowest and the highest of some hours [C].
struct hour_range {
  double lowest = 0.0, highest = 0.0;
};

/// The hours of days that are known by their extremes (statistics.hpp, hours_of), by half-cosines: from the maximum of
/// the day before to the minimum, to the maximum, and to the minimum of the day after.
class hourly_course {
 public:
  explicit hourly_course(std::span<const daily_extremes> days) : days_(days), weight_(end_weights()) {}

  /// Hours 0 to 23 of day i [C].
  void write(std::size_t i, std::span<double, 24> out) const {
    const day_between day(days_, i);
    for (std::size_t h = 0; h < hour_of_minimum; ++h) out[h] = night(day, h);
    for (std::size_t h = hour_of_minimum; h <= hour_of_maximum; ++h) out[h] = morning(day, h);
    for (std::size_t h = hour_of_maximum + 1; h < 24; ++h) out[h] = evening(day, h);
  }
  /// The range of them, to the last bit: without writing them.
  hour_range range(std::size_t i) const {
    const day_between day(days_, i);
    // Each of the three parts runs one way, and rounding keeps the order: their ends decide.
    const double first = night(day, 0), last = evening(day, 23);
    return {std::min({day.low, first, last}), std::max({morning(day, hour_of_maximum), first, last})};
  }

 private:
  /// A day between the maximum before it and the minimum after it.
  struct day_between {
    double high_before, low, high, low_after;

    day_between(std::span<const daily_extremes> days, std::size_t i) : low(days[i].low), high(days[i].high) {
      const bool follows = i > 0 && days[i - 1].day + 1 == days[i].day;
      const bool followed = i + 1 < days.size() && days[i + 1].day == days[i].day + 1;
      high_before = follows ? days[i - 1].high : high;
      low_after = followed ? days[i + 1].low : low;
    }
  };
  double night(const day_between& d, std::size_t h) const {
    return d.high_before + weight_[h] * (d.low - d.high_before);
  }
  double morning(const day_between& d, std::size_t h) const { return d.low + weight_[h] * (d.high - d.low); }
  double evening(const day_between& d, std::size_t h) const { return d.high + weight_[h] * (d.low_after - d.high); }

  std::span<const daily_extremes> days_;
  const std::array<double, 24>& weight_;
};

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

/// day_number() of dates in order, or nearly so: worked out once a month, not once a day.
class day_numbers {
 public:
  int operator()(const date& d) {
    if (d.month != first_.month || d.year != first_.year) {
      first_ = {d.year, d.month, 1};
      number_ = day_number(first_);
    }
    return number_ + d.day - 1;
  }

 private:
  date first_{0, 0, 0};
  int number_ = 0;
};

}  // namespace coldgrease::inline v0::detail
