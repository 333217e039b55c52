// The year of one station as a plan reads it: what each pentad is judged at, and the minima beside it.
#pragma once

#include <array>
#include <optional>
#include <string>

#include "coldgrease/climate/calendar.hpp"
#include "coldgrease/climate/series.hpp"

namespace coldgrease::inline v0 {

/// What five days of the year are judged at: quantiles of the hours of the 31 days around them, all years together.
struct judged_pentad {
  temperature cold = celsius(0);  // `share` of those hours lies below
  temperature hot = celsius(0);   // `share` of them lies above
};
/// The pentads from 1 January on; 29 February belongs to that of 28 February.
using judged_year = std::array<judged_pentad, pentads_a_year>;

/// A station's year, with the days or hours it comes from.
struct year_climate {
  weather series{};
  judged_year pentads{};
  std::array<std::optional<temperature>, 12> return_minimum{};  // of each month; needs 10 years of it
  std::optional<int> years{};  // whole years (annual minima); nothing for a typical year and for design values

  const std::string& station() const { return origin_of(series).station; }
  /// Published values stand for the weather: one cold for all days, nothing of summer.
  bool by_design_values() const { return std::holds_alternative<design_station>(series); }
};

/// A station's year. A station by design values alone is judged on all days at design_cold(), and says nothing of heat:
/// `hot` is then no more than `cold`.
/// @param share  of hours, above 0 and below 0.5   @param return_years  above 1
/// @throws input_error naming a month without days or hours, or a station without a design value
/// Test: tests/climate/year_climate.cpp, against the expansion of every hour
year_climate year_of(weather series, double share = 0.01, double return_years = 10.0);

}  // namespace coldgrease::inline v0
