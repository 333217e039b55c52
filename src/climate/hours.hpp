// Days and hours, for the sources of this stage.
#pragma once

#include <cstdint>
#include <span>
#include <string>
#include <vector>

#include "coldgrease/climate/series.hpp"

namespace coldgrease::inline v0::detail {

/// Day and hour of the day of an hourly_value's hour, also before 1970.
constexpr int hour_of_day(int hour) { return (hour % 24 + 24) % 24; }
constexpr int floor_day(int hour) { return (hour - hour_of_day(hour)) / 24; }

/// Hours 0 to 23 of day i (statistics.hpp, hours_of) [C].
void expand_day(std::span<const daily_extremes> days, std::size_t i, std::span<double, 24> out);

/// Month of every day, 1 to 12 [n_day].
std::vector<std::uint8_t> months_of(const daily_series& series);
/// Month of every hour, 1 to 12 [n_hour].
std::vector<std::uint8_t> months_of(const hourly_series& series);
std::vector<std::uint8_t> months_of(const typical_year& year);

/// The date of a day of a typical year, in some year of its length.
date date_in(const typical_year& year, int day);

}  // namespace coldgrease::inline v0::detail
